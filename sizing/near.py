"""Part numbers that are what was typed but for their marks, nearly so, or hold it. Pure: knows no Django and no database."""

from __future__ import annotations

import re
from collections.abc import Iterable

MOST = 3


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
    if len(asked) < 4:
        return []
    found = dict.fromkeys(
        number
        for number in numbers
        # Of thousands few are about as long: the rest is never looked at.
        if abs(len(number) - len(typed)) <= 3 and _one_slip(asked, _bare(number))
    )
    return [number for number in found if _bare(number) == asked] or list(found)[:most]


def _bare(number: str) -> str:
    return "".join(letter for letter in number.casefold() if letter.isalnum())


def _one_slip(one: str, two: str) -> bool:
    """Whether at most one letter is another, is missing or too many, or two neighbours have changed places."""
    if abs(len(one) - len(two)) > 1:
        return False
    begin = next((at for at, (a, b) in enumerate(zip(one, two, strict=False)) if a != b), None)
    if begin is None:
        return True
    one, two = one[begin:], two[begin:]
    if len(one) == len(two):
        return one[1:] == two[1:] or (one[:2] == two[1::-1] and one[2:] == two[2:])
    return one[1:] == two if len(one) > len(two) else one == two[1:]
