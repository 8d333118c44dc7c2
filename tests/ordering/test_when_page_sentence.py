"""One honest sentence to read out, in every state of a line."""

from dataclasses import replace
from datetime import date, timedelta
from types import SimpleNamespace

import pytest
from django.utils import timezone

from ordering.bar import draw_bar
from ordering.lists.orders import LineView
from ordering.sentences import how_it_stands, span, together, window_in_words
from ordering.states import LineState, Step, Window
from ordering.views.when import Answer
from quotes.drawing import Line, Words
from quotes.svg import to_svg

TODAY = date(2030, 3, 4)
WINDOW = Window(date(2030, 4, 2), date(2030, 4, 9), date(2030, 4, 20))
SENT = LineState(3, True, Step.SENT, sent_on=TODAY)


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        (date(2030, 4, 2), date(2030, 4, 2), "on 2 April"),
        (date(2030, 4, 2), date(2030, 4, 20), "between 2 and 20 April"),
        (date(2030, 4, 28), date(2030, 5, 3), "between 28 April and 3 May"),
        (date(2030, 12, 28), date(2031, 1, 3), "between 28 December 2030 and 3 January 2031"),
        (date(2031, 1, 2), date(2031, 1, 9), "between 2 and 9 January 2031"),
    ],
)
def test_spans_are_said_short(first, last, words):
    """The month once if it is one, the year only if it is not this one."""
    assert span(first, last, TODAY) == words


def line(**facts):
    from dataclasses import replace

    return replace(SENT, **facts)


EARLIER = Window(date(2030, 2, 1), date(2030, 2, 8), date(2030, 2, 20))


@pytest.mark.parametrize(
    ("state", "window", "words"),
    [
        (LineState(3, True), WINDOW,
         "has not gone to the factory yet and should leave the factory between 2 and 20 April, "
         "most likely about 9 April"),
        (SENT, WINDOW, "should leave the factory between 2 and 20 April, most likely about 9 April"),
        (line(promised_on=date(2030, 4, 12)), WINDOW,
         "should leave the factory between 2 and 20 April, most likely about 9 April; "
         "the factory says 12 April"),
        (line(promised_on=date(2030, 3, 1)), WINDOW,
         "should leave the factory between 2 and 20 April, most likely about 9 April; "
         "the factory had said 1 March"),
        (line(left=3, arrived=2, last_left_on=date(2030, 3, 1)), None,
         "has reached our dock in part, 2 of 3; the rest left the factory on 1 March and is on its way to us"),
        (line(left=3, arrived=3, handed=2), None,
         "was handed over in part, 2 of 3; the rest is at our dock, ready to be picked up"),
        (LineState(3, False, arrived=2), None,
         "has reached our dock in part, 2 of 3; the rest comes from our own shelf and is not on the dock yet"),
        (line(told=EARLIER), WINDOW,
         "should leave the factory between 2 and 20 April, most likely about 9 April. "
         "That is later than we told you: 20 February at the latest"),
        (line(left=1), WINDOW,
         "has left in part, 1 of 3; the rest should leave the factory between 2 and 20 April, "
         "most likely about 9 April"),
        (line(left=1, arrived=1), WINDOW,
         "has reached our dock in part, 1 of 3; the rest should leave the factory between 2 and 20 April, "
         "most likely about 9 April"),
        # One came broken and is made again as a line of its own: of this one nothing has left.
        (line(left=1, arrived=1, broken=1), WINDOW,
         "should leave the factory between 2 and 20 April, most likely about 9 April"),
        (line(left=2, lost=1), WINDOW,
         "has left in part, 1 of 2; the rest should leave the factory between 2 and 20 April, "
         "most likely about 9 April"),
        (line(left=3, last_left_on=date(2030, 3, 1)), None, "left the factory on 1 March and is on its way to us"),
        (line(left=3, arrived=3), None, "is at our dock, ready to be picked up"),
        (line(left=3, arrived=3, handed=3), None, "was handed over"),
        (line(held=True), WINDOW, "is on hold"),
        (line(cancelled=3), None, "was cancelled"),
        (LineState(1, False), None, "comes from our own shelf and is not on the dock yet"),
        (SENT, None, "has no date yet"),
    ],
)  # fmt: skip
def test_each_state_in_words(state, window, words):
    """The clause says what is, and no more than is known."""
    assert how_it_stands(state, window, TODAY) == words


def test_the_picture_says_the_same():
    """The bar's title and description carry every date of the picture for who cannot see it."""
    drawing = draw_bar(WINDOW, TODAY, date(2030, 4, 12), EARLIER)
    said = f"{drawing.title} {drawing.description}"
    for words in (
        "2 and 20 April 2030",
        "9 April 2030",
        "4 March 2030",
        "12 April 2030",
        "1 February",
    ):
        assert words in said
    assert window_in_words(WINDOW) in drawing.title
    svg = to_svg(drawing, "bar")
    assert 'role="img"' in svg and "style=" not in svg


@pytest.mark.parametrize(
    ("window", "today", "promised"),
    [
        (Window(TODAY, TODAY, TODAY), TODAY, None),
        (Window(TODAY, TODAY, TODAY), TODAY, TODAY),
        (WINDOW, date(2020, 1, 1), date(2040, 1, 1)),
        (WINDOW, date(2031, 1, 1), None),
    ],
)
def test_every_shape_stays_on_the_sheet(window, today, promised):
    """However far today or a promise lies from the window, nothing is drawn off the sheet."""
    drawing = draw_bar(window, today, promised)
    lettering = [shape for shape in drawing.shapes if isinstance(shape, Words)]
    assert len(lettering) > 1
    for words in lettering:
        wide = 7.0 * len(words.text)
        left = {"start": words.x, "middle": words.x - wide / 2, "end": words.x - wide}[words.anchor]
        assert left > -4 and left + wide < drawing.width + 4, words


@pytest.mark.parametrize("apart", range(-40, 70))
def test_no_arrow_goes_through_the_words_of_another_day(apart):
    """Today and the promise may lie on any days beside each other, the promise gone by among them."""
    drawing = draw_bar(WINDOW, TODAY, TODAY + timedelta(days=apart))
    flags = [shape for shape in drawing.shapes if isinstance(shape, Words) and shape.y < 40]
    arrows = [s for s in drawing.shapes if isinstance(s, Line) and s.x1 == s.x2 and s.y1 < 50]
    assert len(flags) == len(arrows) == 2
    for words in flags:
        wide = 6.0 * len(words.text)
        left = words.x - {"start": 0, "middle": wide / 2, "end": wide}[words.anchor]
        for arrow in arrows:
            through = left + 1 < arrow.x1 < left + wide - 1
            assert not (through and arrow.y1 < words.y), (words, arrow)


def moved(window, days):

    return Window(*(on + timedelta(days) for on in window.days))


def test_lines_with_days_of_their_own_are_read_out_with_them():
    """The factory has named a day for each: neither is told the other's window."""
    near = moved(WINDOW, 2)
    views = [view(1, WINDOW, WINDOW.likely), view(2, near, near.likely)]
    order = SimpleNamespace(number="C-00001", customer="Mara Quill")
    assert Answer(order, views, []).sentence == (
        f"Order C-00001 for Mara Quill: line 1 {views[0].stands}; line 2 {views[1].stands}."
    )
    alike = [view(1, WINDOW, None), view(2, near, None)]
    assert "line 1" not in Answer(order, alike, []).sentence


def test_of_several_lines_each_is_said_to_stand_so():
    """A clause that speaks of one is read out of each: no “lines 1 and 2 is on its way”."""
    left = LineState(2, True, Step.LEFT, left=2, last_left_on=TODAY)
    stands = how_it_stands(left, None, TODAY)
    gone = [LineView(SimpleNamespace(number=n), left, None, stands, "") for n in (1, 3)]
    order = SimpleNamespace(number="C-00001", customer="Mara Quill")
    sentence = Answer(order, [*gone, view(2, WINDOW, None)], []).sentence
    assert f"each of lines 1 and 3 {stands}" in sentence and "line 2 should leave" in sentence


def view(number, window, promised):
    state = LineState(2, True, Step.SENT, promised_on=promised)
    stands = how_it_stands(state, window, timezone.localdate())
    return LineView(SimpleNamespace(number=number), state, window, stands, "")


@pytest.mark.parametrize(
    ("windows", "as_one"),
    [
        ([WINDOW], WINDOW),
        ([WINDOW, moved(WINDOW, 3)], moved(WINDOW, 3)),
        ([WINDOW, moved(WINDOW, 4)], None),
        ([WINDOW, None], None),
        ([], None),
    ],
)
def test_what_leaves_at_about_the_same_time_is_read_out_as_one(windows, as_one):
    """Lines a day or three apart have the window of the last of them; others are said apart."""
    assert together(windows) == as_one


def test_what_their_own_page_says_stands_beside_it():
    """The window told stays on the customer's page while today's shifts a little: who rings has it before them."""
    today = view(1, WINDOW, None)
    earlier = moved(WINDOW, -1)
    shifted = replace(today, state=replace(today.state, told=earlier))
    assert shifted.on_their_page == window_in_words(earlier, timezone.localdate())
    alike = replace(WINDOW, likely=WINDOW.likely + timedelta(days=1))
    assert replace(today, state=replace(today.state, told=alike)).on_their_page == ""
    assert today.on_their_page == ""
