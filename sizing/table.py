"""A family's size table as plain data: what a workbook says, what a revision holds, what the resolver reads.

Lengths are exact counts of 1/320 mm and weights of nanograms (see `lengths` and `weights`).
Nothing here knows Django; the workbook reader makes these, `tables` stores them, `lookup` loads them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Literal

from sizing.lengths import Length, Unit
from sizing.weights import PER_KG, PER_POUND, Weight, WeightUnit

Kind = Literal["length", "weight"]
Sash = Literal["upper", "lower"]
SASH_WEIGHT = "sash_weight"
# No factory is believed to mean more.
MOST_WEEKS = 104


@dataclass(frozen=True)
class Column:
    """A nominal dimension of the rows: glass, opening, long point."""

    code: str
    label: str


@dataclass(frozen=True)
class Measure:
    """What a person measures. Two length measures of one column are its upper and lower sash.

    `tolerance` is the usual reading error (about one standard deviation), a Length or a Weight.
    A weight measure has no column.
    """

    code: str
    label: str
    column: str | None
    kind: Kind
    tolerance: int
    how_to: str = ""
    sash: Sash | None = None

    @property
    def named(self) -> str:
        """Its label as it stands inside a sentence."""
        return self.label[:1].lower() + self.label[1:]


@dataclass(frozen=True)
class Slip:
    """A usual way to measure wrongly: reading = true size + a shift between the two bounds.

    `share` is the part of callers who do it (0 to 1). A slip of the same name on another measure
    of the same column is the same habit: who does one does the other.
    """

    measure: str
    name: str
    shift_min: Length
    shift_max: Length
    share: float


@dataclass(frozen=True)
class Part:
    """One cell of row x weight class x finish. No part number: not offered."""

    row: int
    weight_class: str
    weight_min: Weight | None
    weight_max: Weight | None
    finish: str
    part_number: str | None
    price: Decimal | None


@dataclass(frozen=True)
class FitQuestion:
    """Asked before any measuring: does this family suit the window at all?"""

    question: str
    answer_that_fits: str
    otherwise: str


@dataclass(frozen=True)
class SizeTable:
    """One revision of a family's size table. `rows[i]` holds one Length per column, in order.

    `linear_weight` is the weight of a foot (inch families) or a metre (millimetre families) of the
    part, `girth` the distance round its wrapped section; both only serve freight and may be missing.
    """

    code: str
    name: str
    factory: str
    unit: Unit
    weight_unit: WeightUnit
    currency: str
    lead_weeks_min: int
    lead_weeks_max: int
    columns: tuple[Column, ...]
    rows: tuple[tuple[Length, ...], ...]
    measures: tuple[Measure, ...]
    slips: tuple[Slip, ...] = ()
    parts: tuple[Part, ...] = ()
    fit: tuple[FitQuestion, ...] = ()
    sold_as: Literal["piece", "pair"] = "piece"
    girth: Length | None = None
    linear_weight: Weight | None = None
    # (language, a text of this table, the same in that language), for who reads another than English.
    words: tuple[tuple[str, str, str], ...] = field(default=(), repr=False)
    # Whether the parts bear the sash, as liners and balances do and a strip does not.
    carries_sash: bool = field(default=True, repr=False)
    _by_row: dict[int, tuple[Part, ...]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def __post_init__(self) -> None:
        grouped: dict[int, list[Part]] = {}
        for part in self.parts:
            grouped.setdefault(part.row, []).append(part)
        self._by_row.update({row: tuple(parts) for row, parts in grouped.items()})

    def measure(self, code: str) -> Measure | None:
        """The measure of that code; `sash_weight` always finds the weight of a family that has classes."""
        found = next((m for m in self.measures if m.code == code), None)
        return self.weight_measure if found is None and code == SASH_WEIGHT else found

    def label_of(self, code: str) -> str:
        """What a measure is called; its code where the table has no such measure."""
        measure = self.measure(code)
        return measure.label if measure else code

    @property
    def weight_measure(self) -> Measure | None:
        """The declared weight measure, or the usual one where the parts have bands but no measure."""
        declared = next((m for m in self.measures if m.kind == "weight"), None)
        if declared or not any(p.weight_min or p.weight_max for p in self.parts):
            return declared
        return default_weight_measure(self.weight_unit)

    @property
    def is_sprung(self) -> bool:
        """Whether its parts may hold a spring: all may but those of which the factory's table says that they carry
        no sash and asks for no weight."""
        return self.carries_sash or self.weight_measure is not None

    def column_index(self, code: str) -> int:
        return next(i for i, c in enumerate(self.columns) if c.code == code)

    def parts_of_row(self, row: int) -> tuple[Part, ...]:
        return self._by_row.get(row, ())

    @property
    def finishes(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(part.finish for part in self.parts))

    @property
    def weight_classes(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(part.weight_class for part in self.parts))

    def has(self, name: str) -> bool:
        """Whether any part has this of its own: a `weight_class`, a `weight_min`, a `finish`."""
        return any(getattr(part, name) not in ("", None) for part in self.parts)

    @property
    def has_classes(self) -> bool:
        return self.has("weight_class")

    @property
    def has_bands(self) -> bool:
        return self.has("weight_min") or self.has("weight_max")


def default_measures(
    columns: Iterable[Column], unit: Unit, weight_unit: WeightUnit, weighed: bool
) -> tuple[Measure, ...]:
    """The measures of a table that declares none: each column once, glass once for each sash.

    Reading errors (1/8 in or 3 mm; 1/2 lb or 0.25 kg) are the desk's own defaults.
    """
    eighth = Length(1016) if unit is Unit.INCH else Length(960)
    found: list[Measure] = []
    for column in columns:
        if "glass" in column.code.lower():
            found += [
                Measure(
                    f"{sash}_{column.code}",
                    f"{sash.capitalize()} {column.label.lower()}",
                    column.code,
                    "length",
                    eighth,
                    f"Measure the {sash} sash's glass from edge to edge, including what the stops cover.",
                    sash,
                )
                for sash in ("upper", "lower")
            ]
        else:
            found.append(Measure(column.code, column.label, column.code, "length", eighth))
    if weighed:
        found.append(default_weight_measure(weight_unit))
    return tuple(found)


def default_weight_measure(weight_unit: WeightUnit) -> Measure:
    pounds = weight_unit is WeightUnit.POUND
    half = Weight(PER_POUND // 2 if pounds else PER_KG // 4)
    how_to = "Take the sash out and weigh it with its glass on a bathroom scale."
    return Measure(SASH_WEIGHT, "Sash weight", None, "weight", half, how_to)


def default_slips(measures: Iterable[Measure], unit: Unit) -> tuple[Slip, ...]:
    """The usual slips of a table that declares none, by what a measure is called.

    Shares and shifts are common practice, no source: glass seen between the stops reads about
    1 in short (15 %), the short point about 5/8 in short of the long one (12 %), an opening taken
    to another stop about 5/8 in out, either way (7 %).
    """
    eighth = 1016 if unit is Unit.INCH else 960

    def shift(low: int, high: int) -> tuple[Length, Length]:
        return Length(low * eighth), Length(high * eighth)

    found: list[Slip] = []
    for measure in measures:
        name = f"{measure.code} {measure.column or ''}".lower()
        if measure.kind != "length":
            continue
        if "glass" in name:
            found.append(
                Slip(measure.code, "only the visible glass is measured", *shift(-10, -6), 0.15)
            )
        elif "long" in name:
            found.append(Slip(measure.code, "the short point is measured", *shift(-8, -2), 0.12))
        elif "opening" in name:
            found.append(Slip(measure.code, "the wrong stop is measured to", *shift(-8, -3), 0.035))
            found.append(Slip(measure.code, "the wrong stop is measured to", *shift(3, 8), 0.035))
    return tuple(found)


# Of lines ordered, the share that usually comes back because the caller measured wrongly, and how many
# such lines it takes to be believed. The desk's own judgement, no source.
USUAL_REMAKES, BELIEF = 0.002, 2.0
MOST_SLIPS = 0.6


def slip_factor(lines: int, remakes: int) -> float:
    """By how much to scale the slips' shares after so many lines, of which so many were made again
    because the caller had measured wrongly; between 1/2 and 3, and 1 without orders."""
    factor = (BELIEF + remakes) / (BELIEF + USUAL_REMAKES * lines)
    return min(max(factor, 0.5), 3.0)


def with_slips_scaled(table: SizeTable, factor: float) -> SizeTable:
    """The table with its slips' shares times a factor; of one measure they sum to at most MOST_SLIPS."""
    if factor == 1.0:
        return table
    total: dict[str, float] = {}
    for slip in table.slips:
        total[slip.measure] = total.get(slip.measure, 0.0) + slip.share
    scaled = {
        measure: min(factor, max(1.0, MOST_SLIPS / share)) if share else 1.0
        for measure, share in total.items()
    }
    slips = tuple(replace(s, share=s.share * scaled[s.measure]) for s in table.slips)
    return replace(table, slips=slips)


def spoken(table: SizeTable, language: str) -> SizeTable:
    """The table with its names, labels, hints and questions in a language, as far as it has them in it.

    Codes, finishes and weight classes stay: by them parts are chosen. `said_in` says how those are read.
    """
    said = {text: words for spoken_in, text, words in table.words if spoken_in == language}
    if not said:
        return table

    def of(text: str) -> str:
        return said.get(text, text)

    return replace(
        table,
        name=of(table.name),
        columns=tuple(replace(c, label=of(c.label)) for c in table.columns),
        measures=tuple(replace(m, label=of(m.label), how_to=of(m.how_to)) for m in table.measures),
        slips=tuple(replace(s, name=of(s.name)) for s in table.slips),
        fit=tuple(
            FitQuestion(of(f.question), of(f.answer_that_fits), of(f.otherwise)) for f in table.fit
        ),
    )


def said_in(language: str, table: SizeTable, text: str) -> str:
    """A finish or weight class, however it was typed, as it is read in a language; else as it is."""
    wanted = (language, " ".join(text.casefold().split()))
    said = (w for spoken_in, of, w in table.words if (spoken_in, of.casefold()) == wanted)
    return next(said, text)


def sayable(table: SizeTable) -> frozenset[str]:
    """The texts of a table that may be said in another language."""
    measures = [text for m in table.measures for text in (m.label, m.how_to)]
    fit = [t for f in table.fit for t in (f.question, f.answer_that_fits, f.otherwise)]
    labels = [c.label for c in table.columns]
    slips = [s.name for s in table.slips]
    kinds = [text for p in table.parts for text in (p.weight_class, p.finish)]
    return frozenset({table.name, *labels, *measures, *slips, *fit, *kinds} - {""})
