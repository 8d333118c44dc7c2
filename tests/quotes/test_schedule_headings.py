"""A sender's headings: any order, any case, usual words; what can't be told apart is refused."""

import itertools

import pytest

from fixtures.build import balance, liner
from quotes.schedule import read_schedule
from sizing.workbook import WorkbookError
from tests.quotes.sheets import GOOD, HEADINGS, grid

LINER = liner()


@pytest.mark.parametrize("turn", range(len(HEADINGS)))
def test_any_order(turn):
    """Columns in another order read the same."""
    heads, cells = (row[turn:] + row[:turn] for row in (HEADINGS, GOOD))
    (line,) = read_schedule(grid(heads, cells), LINER).lines
    assert line.cells["upper_glass"] == "20 1/4" and line.cells["label"] == "Kitchen"


@pytest.mark.parametrize(
    "heading, code",
    [
        ("UPPER GLASS HEIGHT", "upper_glass"),
        ("upper_glass", "upper_glass"),
        ("Glass, upper", "upper_glass"),
        ("Upper sash glass (inches)", "upper_glass"),
        ("Height of the opening", "opening"),
        ("Opening", "opening"),
        ("Long point of the old liner (in)", "long_point"),
        ("Colour", "finish"),
        ("Qty", "quantity"),
        ("How many", "quantity"),
        ("Mark", "label"),
        ("Window No.", "label"),
        ("Sash weight, lb", "sash_weight"),
        ("Sash wt", "sash_weight"),
        ("Sash wt. (lb)", "sash_weight"),
        ("Upper glass ht", "upper_glass"),
        ("Opening Hgt.", "opening"),
    ],
)
def test_usual_words(heading, code):
    """A heading in usual words is understood."""
    content = grid(("Lower glass height", heading), ("20 1/4", "7"))
    (line,) = read_schedule(content, LINER).lines
    assert line.cells[code] == "7"


@pytest.mark.parametrize(
    "heading", ["Storey", "Opening number", "Glass supplier", "Weight class", ""]
)
def test_the_senders_own_are_not_read(heading):
    """A heading that names no column of ours is kept and not guessed at."""
    content = grid(("Lower glass height", heading), ("20 1/4", "7"))
    read = read_schedule(content, LINER)
    assert read.lines[0].cells == {"lower_glass": "20 1/4"}
    assert read.own == 2


def test_a_unit_in_the_heading_counts_for_bare_numbers():
    """Numbers under a heading in mm are mm also in a family of inches; what has its own unit keeps it."""
    content = grid(("Upper glass (mm)", "Lower glass (mm)"), (514, '20 1/4"'))
    (line,) = read_schedule(content, LINER).lines
    assert line.cells == {"upper_glass": "514 mm", "lower_glass": '20 1/4"'}


@pytest.mark.parametrize("heading", ["Room", "LOCATION"])
def test_a_room_is_the_window_where_nothing_else_is(heading):
    """Where the sender has a column for the window's mark the room stays their own."""
    read = read_schedule(grid((heading, "Upper glass"), ("Kitchen", "20 1/4")), LINER)
    assert read.lines[0].cells == {"label": "Kitchen", "upper_glass": "20 1/4"}
    read = read_schedule(grid((heading, "Upper glass", "Mark"), ("Kitchen", "20", "W1")), LINER)
    assert read.lines[0].cells == {"label": "W1", "upper_glass": "20"}
    assert read.unread == (heading,)


def test_buildings_and_flats_stand_in_the_label():
    """Two stairs in two buildings are told apart; a bare number goes by its heading, before the sender's own mark."""
    heads = ("Building", "Flat", "Window", "Lower glass height")
    rows = (("A", 3, "stairs", 20), ("Mill House", "", "stairs", 24), ("", "", "hall", 16))
    for order in ((0, 1, 2, 3), (3, 0, 1, 2)):
        content = grid(*([row[at] for at in order] for row in (heads, *rows)))
        labels = [line.cells["label"] for line in read_schedule(content, LINER).lines]
        assert labels == ["Building A, Flat 3, stairs", "Mill House, stairs", "hall"]


@pytest.mark.parametrize("words", ["Total", "TOTALS:", "Grand total", "Sub-total", "Sum"])
def test_a_total_is_no_window(words):
    """It is named and left out; a window called so, with its measures, stays one."""
    heads = ("Window", "Quantity", "Lower glass height")
    read = read_schedule(grid(heads, ("hall", 2, 20), (words, 2, "")), LINER)
    assert [line.cells["label"] for line in read.lines] == ["hall"]
    assert "Row 3 is read as a total, not as a window." in read.notices
    kept = read_schedule(grid(heads, (words, 2, 20), ("Totter's room", 1, "")), LINER)
    assert [line.cells["label"] for line in kept.lines] == [words, "Totter's room"]


UNITS = ("Room", "Qty", "Upper glass", "Lower glass", "Sash weight")


@pytest.mark.parametrize(
    "row, expected",
    [
        ((None, None, "in", "in.", "lb"), ("20", "21", "9")),
        ((None, "no.", "(mm)", "MM", "kg"), ("20 mm", "21 mm", "9 kg")),
        (("", None, '"', None, None), ("20", "21", "9")),
    ],
)
def test_a_row_of_units_beneath_the_headings(row, expected):
    """It is no window: the numbers below are in these units, and a notice says which row it was."""
    read = read_schedule(grid(UNITS, row, ("Bath", 2, 20, "21", 9)), LINER)
    (line,) = read.lines
    assert (
        tuple(line.cells[code] for code in ("upper_glass", "lower_glass", "sash_weight"))
        == expected
    )
    assert (line.row, line.cells["quantity"]) == (3, "2")
    assert read.notices == ("Row 2 is read as the units of its columns, not as a window.",)


@pytest.mark.parametrize(
    "row",
    [
        ("Bath", 1, "in", "in", None),
        ("Bath", None, "lb", None, None),
        ("Bath", None, "in", "as above", None),
        ("2nd floor", None, "in", None, None),
        ("Bath", None, None, None, None),
    ],
)
def test_what_is_no_row_of_units(row):
    """A count, a unit that no length has, other words: a window, whose cells are told."""
    read = read_schedule(grid(UNITS, row, ("Bath", 2, 20, "21", 9)), LINER)
    assert [line.row for line in read.lines] == [2, 3] and read.notices == ()
    assert read.lines[1].cells["upper_glass"] == "20"


def test_units_further_down_are_a_window():
    """Beneath the first window a unit alone is a measure left out by mistake."""
    read = read_schedule(
        grid(UNITS, ("Bath", 2, 20, "21", 9), (None, None, "mm", None, None)), LINER
    )
    assert [line.row for line in read.lines] == [2, 3]


@pytest.mark.parametrize("said, beneath", [("mm", "in"), ("in", "mm")])
def test_two_units_for_a_column_are_refused(said, beneath):
    """Above and below: nobody knows which, of the family's own unit either."""
    content = grid((f"Upper glass ({said})",), (beneath,), (20,))
    with pytest.raises(
        WorkbookError, match=f"row 2: {beneath} stands beneath .* says {said}; leave"
    ):
        read_schedule(content, LINER)


def test_headings_further_down():
    """A title and a note above the headings do no harm."""
    content = grid(("Alder Court",), ("second floor only",), HEADINGS, GOOD, first_row=2)
    read = read_schedule(content, LINER)
    assert (read.head_row, read.lines[0].row) == (4, 5)


@pytest.mark.parametrize(
    "pair", list(itertools.permutations(["Upper glass", "Glass upper height"]))
)
def test_two_that_read_the_same_are_refused(pair):
    """Two columns for one measure are refused, both named."""
    with pytest.raises(
        WorkbookError, match=f"“{pair[0]}” and “{pair[1]}” both read as Upper glass"
    ):
        read_schedule(grid(pair, ("20", "20")), LINER)


def test_another_familys_headings_are_refused():
    """A liner's schedule is no balance's: the headings it wants are named."""
    with pytest.raises(WorkbookError, match=r"choose the right family.*Channel of the old balance"):
        read_schedule(grid(HEADINGS, GOOD), balance())


@pytest.mark.parametrize(
    ("heading", "code"),
    [
        ("Glass top", "upper_glass"),
        ("Top pane (in)", "upper_glass"),
        ("Top sash glass ht", "upper_glass"),
        ("Opng", "opening"),
        ("Weight lb", "sash_weight"),
    ],
)
def test_what_people_say_for_it(heading, code):
    """Top and bottom, pane and opng: what a contractor writes over a column."""
    content = grid(("Btm. glass", heading), ("20 1/4", "7"))
    (line,) = read_schedule(content, LINER).lines
    assert line.cells == {"lower_glass": "20 1/4", code: "7"}


def test_a_glass_of_neither_sash():
    """One column of glass heights is of the first sash, as in a message; not where a column is of one of them."""
    for heading in ("Glass", "Glass height (in)", "GLASS SIZE"):
        (line,) = read_schedule(grid((heading, "Opening"), (20, 47)), LINER).lines
        assert line.cells == {"upper_glass": "20", "opening": "47"}
    read = read_schedule(grid(("Glass", "Bottom glass"), (20, 47)), LINER)
    assert read.lines[0].cells == {"lower_glass": "47"} and read.unread == ("Glass",)


def test_sizes_that_are_not_read_are_told():
    """Where hardly a size is read, the sender's own columns that hold sizes are named with what to do; widths and
    other numbers are not."""
    heads = ("Room", "Opening", "A", "B", "Width", "Floor", "Price")
    rows = (("bath", 47, 20.25, '20 1/4"', 28, 3, 90), ("hall", 51, 22, "22", 30, 2, 95))
    read = read_schedule(grid(heads, *rows), LINER)
    assert read.notices == (
        "“A” and “B” hold sizes that are not read. Where one is the Upper glass height, Lower glass height or Long "
        "point of the old liner, call it so in row 1, and bring the workbook in again.",
    )
    enough = read_schedule(grid(("Upper glass", *heads[1:]), *rows), LINER)
    assert enough.notices == ()


def test_totals_are_told_at_once():
    heads = ("Window", "Quantity", "Lower glass height")
    read = read_schedule(grid(heads, ("hall", 2, 20), ("Subtotal", 2, ""), ("Total", 2, "")), LINER)
    assert "Rows 3, 4 are read as totals, not as windows." in read.notices
