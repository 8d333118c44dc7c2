"""A part number mistyped is answered with those that are one slip of the pen away."""

import pytest

from sizing.near import holding, meant, nearly

NUMBERS = ["OHL-05MS", "OHL-05LS", "OHL-05MA", "OHL-09MA", "GHB-738-2", "WS-0900-A"]


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("OHL-05SM", ["OHL-05MS"]),  # changed places
        ("ohl 5ms", ["OHL-05MS"]),  # one missing
        ("OHL-055MS", ["OHL-05MS"]),  # one too many
        ("OHL-05NS", ["OHL-05MS", "OHL-05LS"]),  # another
        ("OHL05MS", ["OHL-05MS"]),  # its marks alone
        ("GHB-783-2", ["GHB-738-2"]),
        ("OHL-50SM", []),  # two slips
        ("5MS", []),  # too little to tell
        ("", []),
        ("-----", []),
    ],
)
def test_one_slip(typed, found):
    """One letter another, missing, too many, or two changed: no more than that."""
    assert nearly(typed, NUMBERS) == found


def test_no_more_than_three():
    """So many are read at a glance; the same number of two revisions is one."""
    many = [f"OHL-0{n}MS" for n in range(1, 9)]
    assert nearly("OHL-00MS", [*many, *many]) == many[:3]


@pytest.mark.parametrize("number", NUMBERS)
def test_every_slip_of_a_number_finds_it(number):
    """Whichever letter is left out, doubled or changed with the next one."""
    for at in range(len(number) - 1):
        out = number[:at] + number[at + 1 :]
        twice = number[:at] + number[at] + number[at:]
        turned = number[:at] + number[at + 1] + number[at] + number[at + 2 :]
        for typed in (out, twice, turned):
            assert number in nearly(typed, NUMBERS), typed


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("ohl-05ms", "OHL-05MS"), ("OHL 05 MS", "OHL-05MS"), ("A-1", "A-1"), ("a1", None), ("A.1", "A.1"),
        ("OHL-05", None), ("", None), (" - ", None),
    ],
)  # fmt: skip
def test_the_one_that_is_meant(typed, number):
    """In whatever letters and marks; where two differ by their marks alone only the one that was typed."""
    assert meant(typed, ["OHL-05MS", "OHL-06MS", "A-1", "A.1"]) == number


@pytest.mark.parametrize(
    ("worn", "found"),
    [
        ("05M", ["OHL-05MS"]), ("ohl-0?m", ["OHL-05MS", "OHL-06MS"]), ("?6ms", ["OHL-06MS"]),
        ("MS", []), ("???", []), ("zzz", []), ("(.*)", []),
    ],
)  # fmt: skip
def test_those_that_hold_what_can_be_read(worn, found):
    """A question mark is one letter; fewer than three of them tell nothing."""
    assert holding(worn, ["OHL-05MS", "OHL-06MS", "A-1"]) == found
