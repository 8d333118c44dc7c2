"""Cautions shown where the work can hurt someone, and when each is shown.

The wording is the desk's own. A caution never rules that something is safe or allowed: local code
and licensed practice decide.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sizing.weights import PER_KG, Weight
from sizing.wording import N_
from sizing.wording import gettext as _

# NIOSH revised lifting equation (NIOSH 94-110): load constant 23 kg, in the customary form 51 lb. The
# two are not conversions of each other; the lighter one is taken.
LOAD_CONSTANT = Weight(23 * PER_KG)


@dataclass(frozen=True)
class Caution:
    """`title` and `text` are in the reader's language; they are made from the English kept here."""

    code: str
    english_title: str
    english_text: str

    @property
    def title(self) -> str:
        return _(self.english_title)

    @property
    def text(self) -> str:
        return _(self.english_text)


SPRING = Caution(
    "spring",
    N_("Balances hold spring tension"),
    N_(
        "A wound balance can let go and strike. Release its tension with the tool made for it, keep hands "
        "and face out of its line, and leave it to a trained person if in doubt."
    ),
)
LIFT = Caution(
    "lift",
    N_("Two people to lift this sash"),
    N_(
        "The sash may weigh more than 51 lb (23 kg), the most that NIOSH's lifting equation starts from when "
        "everything about a lift is right. Reaching, twisting, stairs and ladders lower it, and a lighter "
        "sash can still hurt someone. Wear gloves and eye protection near glass."
    ),
)
# 1978: EPA renovation rule, 40 CFR 745 subpart E, for target housing.
LEAD = Caution(
    "lead",
    N_("Paint from before 1978 may hold lead"),
    N_(
        "In a house built before 1978, work on painted windows can set free lead dust. Have the paint tested "
        "or treat it as lead paint; rules on training and certified firms may apply."
    ),
)
EGRESS = Caution(
    "egress",
    N_("The way out may change"),
    N_(
        "An unequal or changed split changes the clear opening. Where the window is a way out in an "
        "emergency, the local building code says how large that opening must be: check it before ordering."
    ),
)
SAFETY_GLAZING = Caution(
    "safety_glazing",
    N_("Safety glazing may be required"),
    N_(
        "An unequal or changed split changes the size of a pane and its height above the floor. Large or low "
        "panes, and panes near doors, baths and stairs, may need safety glazing: the local building code decides."
    ),
)


def cautions_for(
    *,
    sprung: bool,
    sash_weight: Weight | None = None,
    weight_error: Weight | None = None,
    split: Literal["equal", "cottage", "oriel"] | None = None,
) -> tuple[Caution, ...]:
    """The cautions for one window, in the order they are read out.

    `sprung` is `SizeTable.is_sprung`: a strip has no spring to let go. The lift caution is shown as soon as the
    weight with one standard deviation on top passes the load constant; the lead caution always, as nobody asks how old the
    house is.
    """
    shown = [SPRING] if sprung else []
    if sash_weight is not None and sash_weight + (weight_error or 0) > LOAD_CONSTANT:
        shown.append(LIFT)
    shown.append(LEAD)
    if split in ("cottage", "oriel"):
        shown += [EGRESS, SAFETY_GLAZING]
    return tuple(shown)
