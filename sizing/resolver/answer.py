"""What goes into the resolver and what comes out, as plain data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from sizing.lengths import Length
from sizing.table import Part
from sizing.weights import Weight

Outcome = Literal["part", "ask", "special", "error"]
# Why: an orderable answer is "equal_split" (a family with two sashes) or "in_table" (one without).
# An ask names what it settles: "size", "unit" (of a number far from every size), "weight" or "finish". The rest are reasons for a special quote.
Reason = Literal[
    "equal_split", "in_table", "size", "unit", "weight", "finish",
    "unequal_split", "off_table", "not_offered", "low_certainty", "bad_input",
]  # fmt: skip


@dataclass(frozen=True)
class Opening:
    """One window as the resolver sees it.

    `lengths` maps measure codes to what was read; `cannot` holds the measures nobody can take, so
    that they are never asked for. `weight_error` is one standard deviation; None takes the family's
    own. `weight_estimated` marks a weight worked out from the glass instead of a scale. `about` holds
    the lengths that were said as "about", `bare` those typed without a unit, so taken in the family's.
    """

    lengths: Mapping[str, Length]
    weight: Weight | None = None
    weight_error: Weight | None = None
    weight_estimated: bool = False
    finish: str | None = None
    cannot: frozenset[str] = frozenset()
    about: frozenset[str] = frozenset()
    bare: frozenset[str] = frozenset()


Verdict = Literal["agrees", "slip", "misfit", "unchecked"]


@dataclass(frozen=True)
class Reading:
    """One measure against the row the answer settles on (or leans to).

    verdict "agrees", "slip" (explained by a usual way to measure wrongly) or "misfit";
    `difference` is the reading less the row's own value; None where no row is near. `apart` is the
    difference in words, `cause` the usual slip's name; `words` says all of it, in the reader's language.
    """

    measure: str
    value: int
    row_value: int | None
    difference: int | None
    verdict: Verdict
    words: str
    apart: str = ""
    cause: str = ""


@dataclass(frozen=True)
class Split:
    """Upper and lower glass as understood. `upper_share` is upper / (upper + lower)."""

    kind: Literal["equal", "cottage", "oriel"]
    upper: Length
    lower: Length
    upper_share: float


@dataclass(frozen=True)
class Answer:
    """One part, one question or one reason for a special quote, and why.

    `row` is filled once the size is settled, even while weight or finish are still asked.
    `text` is one or two sentences a clerk can read out. `certainty` is the probability, 0 to 1,
    that the outcome is right; of a "low_certainty" special, that the likeliest row is. `doubted` are the
    measures that a question for the unit is about.
    """

    outcome: Outcome
    reason: Reason
    certainty: float
    text: str
    row: int | None = None
    part: Part | None = None
    ask: str | None = None
    doubted: tuple[str, ...] = ()
    readings: tuple[Reading, ...] = ()
    split: Split | None = None
    # P(some row), P(unequal split), P(off the table): the three sum to 1.
    shares: tuple[float, float, float] = (0.0, 0.0, 0.0)
    offered: tuple[Part, ...] = ()
    cautions: tuple[str, ...] = ()
