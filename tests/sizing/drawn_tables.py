"""Any size table a workbook can hold, drawn by hypothesis."""

from __future__ import annotations

import unicodedata
from decimal import Decimal

from hypothesis import strategies as st

from sizing.lengths import Length, Unit
from sizing.table import Column, FitQuestion, Measure, Part, SizeTable, Slip, default_slips
from sizing.weights import PER_KG, Weight, WeightUnit
from sizing.workbook.cells import fold, label_of


def _tidy(text: str) -> str:
    return " ".join(unicodedata.normalize("NFC", text).split())


def words(most: int) -> st.SearchStrategy[str]:
    letters = st.characters(exclude_categories=["C", "Z"], include_characters=" ")
    return (
        st.text(letters, min_size=1, max_size=most).map(_tidy).filter(lambda t: 0 < len(t) <= most)
    )


def distinct(strategy: st.SearchStrategy[str], low: int, high: int) -> st.SearchStrategy[list[str]]:
    return st.lists(strategy, min_size=low, max_size=high, unique_by=fold)


codes = st.from_regex(r"[a-z][a-z0-9_]{0,11}[a-z0-9]", fullmatch=True)
weights = st.integers(0, 400 * PER_KG).map(Weight)
shifts = st.integers(-30_000, 30_000).map(Length)


@st.composite
def tables(draw: st.DrawFn) -> SizeTable:
    unit, weight_unit = draw(st.sampled_from(Unit)), draw(st.sampled_from(WeightUnit))
    currency, places = draw(st.sampled_from([("USD", 2), ("JPY", 0), ("KWD", 3)]))
    taken = ["weight_class", "weight_min", "weight_max", "finish", "part_number", "price"]
    columns = draw(distinct(codes.filter(lambda c: fold(c) not in taken), 1, 3))
    rows = _rows(draw, len(columns))
    weighed = draw(st.booleans())
    measures = _measures(draw, columns, weighed)
    weeks = sorted(draw(st.tuples(st.integers(0, 104), st.integers(0, 104))))
    return SizeTable(
        code=draw(st.from_regex(r"[a-z][a-z0-9-]{0,20}", fullmatch=True)),
        name=draw(words(60)),
        factory=draw(words(60)),
        unit=unit,
        weight_unit=weight_unit,
        currency=currency,
        lead_weeks_min=weeks[0],
        lead_weeks_max=weeks[1],
        columns=tuple(Column(code, label_of(code)) for code in columns),
        rows=rows,
        measures=measures,
        slips=_slips(draw, measures) or default_slips(measures, unit),
        parts=_parts(draw, len(rows), weighed, places),
        fit=tuple(
            FitQuestion(*f) for f in draw(st.lists(st.tuples(words(90), words(30), words(90)), max_size=2))
        ),
        sold_as=draw(st.sampled_from(["piece", "pair"])),
        carries_sash=draw(st.booleans()),
        girth=draw(st.none() | st.integers(1, 900_000).map(Length)),
        linear_weight=draw(st.none() | weights),
    )  # fmt: skip


def _rows(draw: st.DrawFn, columns: int) -> tuple[tuple[Length, ...], ...]:
    count = draw(st.integers(1, 5))
    sizes = st.lists(
        st.integers(3200, 3_200_000).map(Length), min_size=count, max_size=count, unique=True
    )
    rising = list(zip(*(sorted(draw(sizes)) for _ in range(columns)), strict=True))
    return tuple(draw(st.permutations(rising)))


def _measures(draw: st.DrawFn, columns: list[str], weighed: bool) -> tuple[Measure, ...]:
    found = []
    tolerance = st.integers(1, 30_000)
    for at, column in enumerate(columns):
        for sash in draw(st.sampled_from([(), (None,), ("upper", "lower"), ("lower", "upper")])):
            code = f"{sash or 'm'}{at}"
            found.append(
                Measure(code, draw(st.just(label_of(code)) | words(60).filter(_neutral)), column,
                        "length", draw(tolerance), draw(st.just("") | words(200)), sash)
            )  # fmt: skip
    if weighed or not found:
        error = draw(st.integers(1, 10 * PER_KG))
        found.append(
            Measure("scale", "Scale", None, "weight", error, draw(st.just("") | words(60)))
        )
    return tuple(found)


def _neutral(label: str) -> bool:
    return not any(word in label.casefold() for word in ("upper", "top", "lower", "bottom"))


def _slips(draw: st.DrawFn, measures: tuple[Measure, ...]) -> tuple[Slip, ...]:
    found = []
    for measure in measures:
        if measure.kind == "length" and draw(st.booleans()):
            low, high = sorted(draw(st.tuples(shifts, shifts)))
            share = draw(st.floats(0, 1).map(lambda x: float(f"{x:.12g}")))
            found.append(Slip(measure.code, draw(words(60)), low, high, share))
    return tuple(found)


def _parts(draw: st.DrawFn, rows: int, weighed: bool, places: int) -> tuple[Part, ...]:
    classes = draw(distinct(words(12), 1, 2)) if draw(st.booleans()) else [""]
    finishes = draw(distinct(words(12), 1, 2)) if draw(st.booleans()) else [""]
    numbers = iter(
        draw(st.lists(words(20), min_size=rows * 4, max_size=rows * 4, unique_by=str.casefold))
    )
    money = st.decimals(0, 9_999_999, places=places).map(lambda d: d + Decimal(0))
    found = []
    for row in range(rows):
        for name in classes:
            low, high = draw(_band()) if weighed else (None, None)
            for finish in finishes:
                number = draw(st.none() | st.just(next(numbers)))
                price = draw(st.none() | money) if number else None
                found.append(Part(row, name, low, high, finish, number, price))
    return tuple(found)


@st.composite
def _band(draw: st.DrawFn) -> tuple[Weight | None, Weight | None]:
    low, high = sorted(draw(st.lists(weights, min_size=2, max_size=2, unique=True)))
    return draw(st.sampled_from([(low, high), (None, high), (low, None), (None, None)]))
