"""Part numbers that are what was typed but for their marks, nearly so, or hold it. Pure: knows no Django and no database."""

from __future__ import annotations

import re
from collections.abc import Iterable

MOST = 3
# A shorter one is one slip from too many.
LEAST = 4


def meant(typed: str, numbers: Iterable[str]) -> str | None:
    """The one of these part numbers that was typed, in whatever letters; else the only one that differs by its marks
    alone (ohl 05 ms); None of none or of several."""
    bare = _bare(typed)
    if not bare:
        return None
    numbers, asked = list(numbers), typed.strip().casefold()
    for number in numbers:
        if number.casefold() == asked:
            return number
    alike = {number for number in numbers if _bare(number) == bare}
    return alike.pop() if len(alike) == 1 else None


def holding(worn: str, numbers: Iterable[str]) -> list[str]:
    """The part numbers that hold what can still be read of one, a question mark for a letter that can't (OHL-0?M);
    none of fewer than three letters and marks."""
    read = [letter for letter in worn.casefold() if letter.isalnum() or letter == "?"]
    if len(read) < 3 or set(read) == {"?"}:
        return []
    pattern = re.compile("".join("[^ ]" if one == "?" else re.escape(one) for one in read))
    return [number for number in dict.fromkeys(numbers) if pattern.search(_bare(number))]


def nearly(typed: str, numbers: Iterable[str], most: int = MOST) -> list[str]:
    """Of these part numbers those that differ from what was typed by one slip, in their order; what marks them
    (OHL-05MS, ohl 05 ms) counts for nothing. One that differs by its marks alone is the only one."""
    asked = _bare(typed)
    if len(asked) < LEAST:
        return []
    known = {number: _bare(number) for number in numbers}
    if alike := [number for number, bare in known.items() if bare == asked]:
        return alike
    near = slips(asked, set().union(*known.values()))
    return [number for number, bare in known.items() if bare in near][:most]


def slips(word: str, letters: Iterable[str]) -> set[str]:
    """The word, and all that is one slip of the pen from it: a letter another of these, missing, too many, or two
    neighbours that have changed places. A few hundred, to be looked up among thousands."""
    letters = list(letters)
    parted = [(word[:at], word[at:]) for at in range(len(word) + 1)]
    return {
        word,
        *(one + rest[1:] for one, rest in parted),
        *(one + rest[1::-1] + rest[2:] for one, rest in parted if len(rest) > 1),
        *(one + letter + rest[1:] for one, rest in parted for letter in letters),
        *(one + letter + rest for one, rest in parted for letter in letters),
    }


def _bare(number: str) -> str:
    return "".join(letter for letter in number.casefold() if letter.isalnum())
