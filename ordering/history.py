"""Reads a shop's past orders from a CSV file: every cell checked, every fault named with its place.

Columns (in any order, letter case and a byte-order mark don't matter): reference, family,
part_number, quantity, ordered_on, shipped_on or blank, promised_on or blank. Dates are ISO 8601.
Pure: the families there are come in, checked rows go out, once all of them are checked.
"""

from __future__ import annotations

import csv
import re
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from contextlib import closing
from dataclasses import dataclass
from datetime import date
from itertools import islice
from typing import IO, TYPE_CHECKING, TypeVar

from sizing.numerals import whole_number

if TYPE_CHECKING:
    from _csv import Reader

T = TypeVar("T")

COLUMNS = (
    "reference",
    "family",
    "part_number",
    "quantity",
    "ordered_on",
    "shipped_on",
    "promised_on",
)
LENGTHS = {"reference": 80, "part_number": 60}
OPTIONAL = {"shipped_on", "promised_on"}
MOST_PROBLEMS = 20
BLOCK = 5000  # lines that are looked at together
LARGEST_QUANTITY = 1_000_000
EARLIEST, LATEST = date(1996, 1, 1), date(2059, 12, 31)
ISO = re.compile(r"\d{4}-\d{2}-\d{2}\Z")


class HistoryError(ValueError):
    """The file can't be taken. `problems` are sentences: where, what, and how to mend it; `unnamed`: how many more."""

    def __init__(self, problems: list[str], unnamed: int = 0) -> None:
        self.problems, self.unnamed = problems, unnamed
        rest = len(problems) - 1 + unnamed
        others = f" ({rest} more problem{'s' if rest > 1 else ''} in the file)" if rest else ""
        super().__init__(problems[0] + others)


@dataclass(frozen=True, slots=True)
class Line:
    """One past order as the file has it; `family` is the family's own key."""

    reference: str
    family: int
    part_number: str
    quantity: int
    ordered_on: date
    shipped_on: date | None
    promised_on: date | None


def read_history(lines: IO[str], name: str, families: Mapping[str, int]) -> Iterator[Line]:
    """The lines of an open text file (newline=''). `families` maps codes to keys.

    Raises HistoryError once the whole file is read, with its first MOST_PROBLEMS problems and the number of the
    rest; of a file with a fault no line is given out.
    """
    reader = csv.reader(lines)
    places = _header(_next(reader, name), name)
    check = _Checks(name, families, places)
    with closing(_Read()) as read:
        for block in blocks(_checked(reader, check), BLOCK):
            for number, reference, before in read.repeated(block):
                check.add(
                    number, "reference",
                    f"“{reference}” stands in line {before} already; keep one of the two",
                )  # fmt: skip
            check.end_of_block()
            if not check.first:
                read.keep(line for _, _, line in block if line)
        check.end_of_block()
        if check.first:
            raise HistoryError(check.first, check.unnamed)
        yield from read.kept()


# Line of the file, reference, and the order if nothing is wrong with it by itself.
Checked = tuple[int, str, Line | None]


def _checked(reader: Reader, check: _Checks) -> Iterator[Checked]:
    """Each row that has anything in it; where the file can't be read any further, that is noted."""
    try:
        while (row := _next(reader, check.name)) is not None:
            if any(cell.strip() for cell in row):
                number = reader.line_num
                yield number, check.reference(row), check.line(row, number)
    except HistoryError as broken:
        check.note(reader.line_num, str(broken))


class _Read:
    """What was read, kept on disk with the line of each reference: a file of any length takes the same memory."""

    def __init__(self) -> None:
        # A database without a name is a file that goes when it is closed.
        self._kept = sqlite3.connect("")
        self._kept.executescript(
            "PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF; PRAGMA cache_size = -8000;"
            "CREATE TABLE seen (reference TEXT PRIMARY KEY, line INTEGER) WITHOUT ROWID;"
            "CREATE TABLE orders (reference, family, part_number, quantity, ordered_on, shipped_on, promised_on);"
        )

    def keep(self, lines: Iterable[Line]) -> None:
        rows = (
            (
                line.reference, line.family, line.part_number, line.quantity,
                *(day and day.toordinal() for day in (line.ordered_on, line.shipped_on, line.promised_on)),
            )
            for line in lines
        )  # fmt: skip
        self._kept.executemany("INSERT INTO orders VALUES (?, ?, ?, ?, ?, ?, ?)", rows)

    def kept(self) -> Iterator[Line]:
        """In the order in which they were read."""
        for *said, ordered, shipped, promised in self._kept.execute(
            "SELECT * FROM orders ORDER BY rowid"
        ):
            days = (day and date.fromordinal(day) for day in (ordered, shipped, promised))
            yield Line(*said, *days)

    def repeated(self, block: list[Checked]) -> list[tuple[int, str, int]]:
        """Take in a block; (line, reference, its first line) of each that stood there already."""
        rows = [(reference, number) for number, reference, _ in block if reference]
        before = self._kept.total_changes
        self._kept.executemany("INSERT OR IGNORE INTO seen VALUES (?, ?)", rows)
        if self._kept.total_changes - before == len(rows):
            return []
        found = ((number, reference, self._line(reference)) for reference, number in rows)
        return [again for again in found if again[0] != again[2]]

    def _line(self, reference: str) -> int:
        return self._kept.execute(
            "SELECT line FROM seen WHERE reference = ?", (reference,)
        ).fetchone()[0]

    def close(self) -> None:
        self._kept.close()


def blocks(lines: Iterable[T], size: int) -> Iterator[list[T]]:
    lines = iter(lines)
    while block := list(islice(lines, size)):
        yield block


def _next(reader: Reader, name: str) -> list[str] | None:
    try:
        return next(reader, None)
    except UnicodeDecodeError:
        raise HistoryError([f"{name} is not UTF-8 text: save it as CSV UTF-8."]) from None
    except csv.Error as problem:
        where = f"{name}, line {reader.line_num}"
        raise HistoryError(
            [f"{where}: no readable CSV ({problem}); save it as CSV again."]
        ) from None


def _header(row: list[str] | None, name: str) -> dict[str, int]:
    """Where each column stands."""
    if not row:
        raise HistoryError(
            [f"{name} is empty: its first line names the columns: {', '.join(COLUMNS)}."]
        )
    if any("\0" in cell for cell in row) or row[0].startswith("PK"):
        raise HistoryError([f"{name} is no CSV file: save the sheet as CSV UTF-8."])
    said = [cell.strip().lstrip("\ufeff").strip().lower().replace(" ", "_") for cell in row]
    missing = [column for column in COLUMNS if column not in said]
    if missing:
        raise HistoryError([
            f"{name}, line 1: no column {', '.join(missing)}; the first line names the columns "
            f"{', '.join(COLUMNS)}, with commas between."
        ])  # fmt: skip
    twice = next((column for column in COLUMNS if said.count(column) > 1), None)
    if twice:
        raise HistoryError([f"{name}, line 1: two columns are called {twice}; take one away."])
    return {column: said.index(column) for column in COLUMNS}


class _Checks:
    """Checks rows and gathers what is wrong with them."""

    def __init__(self, name: str, families: Mapping[str, int], places: dict[str, int]) -> None:
        self.name, self.families, self.places = name, families, places
        # Of all blocks before this one: the first problems as the file has them, and how many came after.
        self.first: list[str] = []
        self.unnamed = 0
        self._block: list[tuple[int, str]] = []

    def add(self, number: int, column: str, words: str) -> None:
        self.note(number, f"{self.name}, line {number}, {column}: {words}.")

    def note(self, number: int, sentence: str) -> None:
        self._block.append((number, sentence))

    def end_of_block(self) -> None:
        """Put the block's problems, first line first, behind those before; beyond MOST_PROBLEMS count them only."""
        told = [words for _, words in sorted(self._block, key=lambda problem: problem[0])]
        room = MOST_PROBLEMS - len(self.first)
        self.first += told[:room]
        self.unnamed += len(told[room:])
        self._block.clear()

    def reference(self, row: list[str]) -> str:
        place = self.places["reference"]
        return row[place].strip() if place < len(row) else ""

    def line(self, row: list[str], number: int) -> Line | None:
        """The row as a Line, or None with its problems noted."""
        before = len(self._block)
        # Some programs leave out blank cells at the end of a line.
        cells = {
            column: row[place].strip() if place < len(row) else ""
            for column, place in self.places.items()
        }
        for column in COLUMNS:
            if not cells[column] and column not in OPTIONAL:
                self.add(number, column, "nothing there; fill it in or take the line out")
        for column, most in LENGTHS.items():
            if len(cells[column]) > most:
                self.add(number, column, f"longer than {most} characters; shorten it")
            elif not cells[column].isprintable():
                self.add(number, column, "has a character that can't be printed; type it again")
        family = self._family(cells["family"], number)
        quantity = self._quantity(cells["quantity"], number)
        days = {
            column: self._day(cells[column], column, number)
            for column in ("ordered_on", "shipped_on", "promised_on")
        }
        self._order_of_days(days, number)
        ordered = days["ordered_on"]
        if len(self._block) > before or family is None or quantity is None or ordered is None:
            return None
        return Line(
            cells["reference"], family, cells["part_number"], quantity, ordered,
            days["shipped_on"], days["promised_on"],
        )  # fmt: skip

    def _family(self, code: str, number: int) -> int | None:
        if code and code not in self.families:
            there = ", ".join(sorted(self.families)) or "none yet"
            self.add(
                number, "family",
                f"no family “{code}”; there are: {there}. Import its size table first, or mend the code",
            )  # fmt: skip
        return self.families.get(code)

    def _quantity(self, text: str, number: int) -> int | None:
        if not text:
            return None
        quantity = whole_number(text, 9)
        if quantity is None or not 1 <= quantity <= LARGEST_QUANTITY:
            self.add(number, "quantity", f"“{text[:40]}” is no whole number of 1 or more; type one")
            return None
        return quantity

    def _day(self, text: str, column: str, number: int) -> date | None:
        if not text:
            return None
        try:
            day = date.fromisoformat(text) if ISO.match(text) else None
        except ValueError:
            day = None
        if day is None:
            self.add(number, column, f"“{text[:40]}” is no date; write it as YYYY-MM-DD")
        elif not EARLIEST <= day <= LATEST:
            self.add(
                number, column, f"{day} is outside {EARLIEST.year} to {LATEST.year}; mend the year"
            )
            return None
        return day

    def _order_of_days(self, days: dict[str, date | None], number: int) -> None:
        ordered = days["ordered_on"]
        if ordered is None:
            return
        shipped = days["shipped_on"]
        if shipped is not None and shipped < ordered:
            self.add(
                number, "shipped_on", f"{shipped} is before ordered_on {ordered}; mend one of them"
            )
