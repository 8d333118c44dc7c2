"""Part numbers that are nearly what was typed: one slip of the pen apart. Pure: knows no Django and no database."""

from __future__ import annotations

from collections.abc import Iterable

MOST = 3


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
