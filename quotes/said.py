"""A request as the clerk typed it: plain text, nothing understood yet, nothing lost. Knows no Django."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date

SASH_FIELDS = ("glass_width", "thickness", "panes", "frame")


@dataclass(frozen=True)
class SaidOpening:
    """One window as said. `key` is the stored opening it belongs to, None for a new one.

    `measures` holds every measure's text by code, also of measures the family does not have (they
    were typed before the family was changed). `cannot` names measures that nobody can take.
    `renew` asks for the table now in force in place of the one that answered before.
    """

    family: str
    label: str = ""
    measures: Mapping[str, str] = field(default_factory=dict)
    cannot: frozenset[str] = frozenset()
    sash: Mapping[str, str] = field(default_factory=dict)
    finish: str = ""
    quantity: int = 1
    override: str = ""
    override_reason: str = ""
    key: int | None = None
    renew: bool = False

    def __post_init__(self) -> None:
        for name in ("measures", "sash"):
            typed = {k: text.strip() for k, text in getattr(self, name).items() if text.strip()}
            object.__setattr__(self, name, typed)

    @property
    def is_blank(self) -> bool:
        return not (self.label or self.measures or self.cannot or self.sash or self.override)


@dataclass(frozen=True)
class SaidRequest:
    caller: str = ""
    phone: str = ""
    email: str = ""
    note: str = ""
    openings: tuple[SaidOpening, ...] = ()
    # What the caller reads; empty: nobody asked.
    language: str = ""
    needed_by: date | None = None

    @property
    def is_blank(self) -> bool:
        head = (self.caller, self.phone, self.email, self.note)
        return not (any(head) or self.needed_by) and all(o.is_blank for o in self.openings)


@dataclass(frozen=True)
class Difference:
    where: str
    stored: str
    typed: str


def differences(stored: SaidRequest, typed: SaidRequest) -> list[Difference]:
    """What two people wrote differently into one request, place by place; empty when nothing."""
    theirs, ours = dict(_places(stored)), dict(_places(typed))
    return [
        Difference(where, theirs.get(where, ""), ours.get(where, ""))
        for where in dict.fromkeys([*theirs, *ours])
        if theirs.get(where, "") != ours.get(where, "")
    ]


def _places(request: SaidRequest) -> Iterator[tuple[str, str]]:
    for name in ("caller", "phone", "email", "note", "language"):
        yield name, getattr(request, name).replace("\r\n", "\n").strip()
    yield "needed by", request.needed_by.isoformat() if request.needed_by else ""
    for place, opening in enumerate(request.openings, 1):
        at = f"opening {place}"
        yield f"{at}: family", opening.family
        yield f"{at}: label", opening.label
        yield f"{at}: quantity", str(opening.quantity)
        yield f"{at}: finish", opening.finish
        for code, text in opening.measures.items():
            yield f"{at}: {code.replace('_', ' ')}", text
        for code in sorted(opening.cannot):
            yield f"{at}: {code.replace('_', ' ')} can't be measured", "yes"
        for code, text in opening.sash.items():
            yield f"{at}: {code.replace('_', ' ')}", text
        yield f"{at}: part chosen", opening.override
        yield f"{at}: reason for it", opening.override_reason
