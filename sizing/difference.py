"""What a new table changes against the one in force, as plain data and in plain lines."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from sizing.lengths import Length, Unit, format_length
from sizing.table import Part, SizeTable
from sizing.weights import Weight, format_weight

Row = tuple[Length, ...]
Band = tuple[Weight | None, Weight | None]


@dataclass(frozen=True)
class Change:
    """One thing said otherwise, as text; `before` or `after` is empty when it is new or gone."""

    what: str
    before: str
    after: str


@dataclass(frozen=True)
class RowChange:
    """A row with the same first size, whose other sizes changed."""

    before: Row
    after: Row


@dataclass(frozen=True)
class PartChange:
    """One cell of a row that both tables have. A part that is not offered is None."""

    size: Length
    weight_class: str
    finish: str
    before: Part | None
    after: Part | None
    band_before: Band = (None, None)
    band_after: Band = (None, None)

    @property
    def band_changed(self) -> bool:
        return self.band_before != self.band_after

    @property
    def number_changed(self) -> bool:
        return bool(
            self.before and self.after and self.before.part_number != self.after.part_number
        )

    @property
    def price_step(self) -> Decimal | None:
        """How much dearer the part becomes (below zero: cheaper); None if either price is missing."""
        if self.before is None or self.after is None:
            return None
        if self.before.price is None or self.after.price is None:
            return None
        return self.after.price - self.before.price

    @property
    def price_percent(self) -> Decimal | None:
        """The step in percent of the old price, to one decimal."""
        step = self.price_step
        if step is None or not self.before or not self.before.price:
            return None
        return (100 * step / self.before.price).quantize(Decimal("0.1"))


@dataclass(frozen=True)
class Difference:
    """`same_prices` is False when the currency changed: then price steps mean nothing and are left out."""

    unit: Unit
    currency: str
    same_prices: bool
    is_first: bool
    sold_as: str
    facts: tuple[Change, ...] = ()
    measuring: tuple[Change, ...] = ()
    rows_new: tuple[Row, ...] = ()
    rows_gone: tuple[Row, ...] = ()
    rows_changed: tuple[RowChange, ...] = ()
    parts: tuple[PartChange, ...] = ()

    @property
    def nothing(self) -> bool:
        return not self.is_first and not any(
            (
                self.facts,
                self.measuring,
                self.rows_new,
                self.rows_gone,
                self.rows_changed,
                self.parts,
            )
        )

    @property
    def offered_now(self) -> tuple[PartChange, ...]:
        return tuple(p for p in self.parts if p.before is None and p.after is not None)

    @property
    def no_longer_offered(self) -> tuple[PartChange, ...]:
        return tuple(p for p in self.parts if p.before is not None and p.after is None)

    @property
    def numbers_changed(self) -> tuple[PartChange, ...]:
        return tuple(p for p in self.parts if p.number_changed)

    @property
    def bands_changed(self) -> tuple[PartChange, ...]:
        return tuple(p for p in self.parts if p.band_changed)

    @property
    def dearer(self) -> tuple[PartChange, ...]:
        return self._priced(lambda step: step > 0)

    @property
    def cheaper(self) -> tuple[PartChange, ...]:
        return self._priced(lambda step: step < 0)

    @property
    def price_new_or_gone(self) -> tuple[PartChange, ...]:
        return tuple(
            p
            for p in self.parts
            if p.before and p.after and (p.before.price is None) != (p.after.price is None)
        )

    def _priced(self, wanted: Callable[[Decimal], bool]) -> tuple[PartChange, ...]:
        if not self.same_prices:
            return ()
        return tuple(p for p in self.parts if p.price_step is not None and wanted(p.price_step))


def difference(old: SizeTable | None, new: SizeTable) -> Difference:
    """What `new` changes against `old`; with no old table everything is new and nothing is listed.

    Rows are the same row if their first size is; parts if size, weight class and finish are.
    """
    if old is None:
        rows = tuple(sorted(new.rows))
        return Difference(new.unit, new.currency, True, True, new.sold_as, rows_new=rows)
    before, after = _by_size(old), _by_size(new)
    # Rows can only be told to be the same if they are known by the same dimension.
    comparable = old.columns[0].code == new.columns[0].code
    if not comparable:
        before = {}
    gone = old.rows if not comparable else [r for s, r in before.items() if s not in after]
    both = [size for size in sorted(after) if size in before]
    same_columns = [c.code for c in old.columns] == [c.code for c in new.columns]
    return Difference(
        new.unit,
        new.currency,
        old.currency == new.currency,
        False,
        new.sold_as,
        facts=_changed(_facts(old), _facts(new)),
        measuring=_changed(_measuring(old), _measuring(new)),
        rows_new=tuple(after[size] for size in sorted(after) if size not in before),
        rows_gone=tuple(sorted(gone)),
        rows_changed=tuple(
            RowChange(before[size], after[size])
            for size in both
            if same_columns and before[size] != after[size]
        ),
        parts=tuple(_part_changes(old, new, set(both))),
    )


def _by_size(table: SizeTable) -> dict[Length, Row]:
    return {row[0]: row for row in table.rows}


def _changed(before: Mapping[str, str], after: Mapping[str, str]) -> tuple[Change, ...]:
    return tuple(
        Change(what, before.get(what, ""), after.get(what, ""))
        for what in dict.fromkeys([*before, *after])
        if before.get(what, "") != after.get(what, "")
    )


def _facts(table: SizeTable) -> dict[str, str]:
    girth = "" if table.girth is None else format_length(table.girth, table.unit, mark=True)
    heft = (
        ""
        if table.linear_weight is None
        else format_weight(table.linear_weight, table.weight_unit, 3)
    )
    return {
        "name": table.name,
        "factory": table.factory,
        "unit of lengths": table.unit.value,
        "unit of weights": table.weight_unit.value,
        "currency": table.currency,
        "lead time": f"{table.lead_weeks_min} to {table.lead_weeks_max} weeks",
        "sold as": table.sold_as,
        "carries the sash": "yes" if table.carries_sash else "no",
        "girth": girth,
        f"weight of a {'foot' if table.unit is Unit.INCH else 'metre'}": heft,
        "columns": ", ".join(column.label for column in table.columns),
    }


def _measuring(table: SizeTable) -> dict[str, str]:
    found: dict[str, str] = {}
    for m in table.measures:
        weighed = m.kind == "weight"
        found[f"{m.code}, label"] = m.label
        found[f"{m.code}, measures"] = " ".join(filter(None, (m.column or m.kind, m.sash)))
        found[f"{m.code}, usual error"] = (
            format_weight(Weight(m.tolerance), table.weight_unit, 2)
            if weighed
            else format_length(Length(m.tolerance), table.unit, mark=True)
        )
        found[f"{m.code}, how to measure"] = m.how_to
    for s in table.slips:
        low = format_length(s.shift_min, table.unit)
        high = format_length(s.shift_max, table.unit, mark=True)
        key = f"{s.measure}, slip: {s.name}"
        found[key] = "; ".join(
            filter(None, (found.get(key), f"{low} to {high}, share {s.share:g}"))
        )
    for f in table.fit:
        found[f"fit: {f.question}"] = f"{f.answer_that_fits}; otherwise: {f.otherwise}"
    for language, text, words in table.words:
        found[f"{language}: {text}"] = words
    return found


def _part_changes(old: SizeTable, new: SizeTable, sizes: set[Length]) -> Iterator[PartChange]:
    before, after = _cells(old), _cells(new)
    for key in dict.fromkeys([*after, *before]):
        if key[0] not in sizes:
            continue
        was, now = before.get(key), after.get(key)
        bands = (_band(was or now), _band(now or was))
        offered = (_offered(was), _offered(now))
        if bands[0] != bands[1] or _sold(offered[0]) != _sold(offered[1]):
            yield PartChange(*key, *offered, *bands)


def _offered(part: Part | None) -> Part | None:
    return part if part and part.part_number else None


def _cells(table: SizeTable) -> dict[tuple[Length, str, str], Part]:
    return {(table.rows[p.row][0], p.weight_class, p.finish): p for p in table.parts}


def _band(part: Part | None) -> Band:
    return (part.weight_min, part.weight_max) if part else (None, None)


def _sold(part: Part | None) -> tuple[str | None, Decimal | None] | None:
    return (part.part_number, part.price) if part else None


def summary(found: Difference) -> list[str]:
    """The difference in a few plain lines, the same on the page and in the command."""
    if found.is_first:
        # A workbook that does not say so means pieces: whoever means pairs sees it before it counts.
        how_many = len(found.rows_new)
        return [
            f"The first table of this family: {how_many} rows; each price is for a {found.sold_as}."
        ]
    if found.nothing:
        return ["Nothing changes."]
    lines = []
    for name, rows in (
        ("new", found.rows_new),
        ("gone", found.rows_gone),
        ("with other sizes", [change.after for change in found.rows_changed]),
    ):
        if rows:
            lines.append(
                f"{_count(len(rows), 'row')} {name}: {_sizes((r[0] for r in rows), found.unit)}."
            )
    for name, parts in (("dearer", found.dearer), ("cheaper", found.cheaper)):
        if parts:
            lines.append(f"{_count(len(parts), 'part')} {name}, {_span(parts, found.currency)}.")
    for words, parts in (
        ("with another part number", found.numbers_changed),
        ("offered now", found.offered_now),
        ("no longer offered", found.no_longer_offered),
        ("with another weight band", found.bands_changed),
        ("with a price new or gone", found.price_new_or_gone),
    ):
        if parts:
            lines.append(f"{_count(len(parts), 'part')} {words}.")
    lines += [_said(change) for change in found.facts]
    if found.measuring:
        lines.append(f"How to measure: {_count(len(found.measuring), 'change')}.")
    return lines


def _said(change: Change) -> str:
    what = change.what[0].upper() + change.what[1:]
    return f"{what}: {change.after or 'no longer said'}, was {change.before or 'not said'}."


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def _sizes(sizes: Iterable[Length], unit: Unit) -> str:
    words = [format_length(size, unit) for size in sizes]
    return (
        ", ".join(words) if len(words) <= 8 else f"{', '.join(words[:7])} and {len(words) - 7} more"
    )


def _span(parts: tuple[PartChange, ...], currency: str) -> str:
    steps = sorted(abs(p.price_step) for p in parts if p.price_step is not None)
    shares = sorted(abs(p.price_percent) for p in parts if p.price_percent is not None)
    words = f"by {_range(steps)} {currency}"
    return f"{words} ({_range(shares)} %)" if shares else words


def _range(values: list[Decimal]) -> str:
    return f"{values[0]}" if values[0] == values[-1] else f"{values[0]} to {values[-1]}"
