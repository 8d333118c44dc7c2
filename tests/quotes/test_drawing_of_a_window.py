"""The window to scale: what is drawn where, and what it says to who cannot see it."""

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotes.drawing import Arrow, Box, Dimension, Words, draw_window
from quotes.svg import to_svg
from sizing.lengths import Length, Unit, parse_length


def dim(name: str, words: str = "", **more) -> Dimension:
    return Dimension(name, words, parse_length(words, Unit.INCH) if words else None, **more)


def panes(drawing) -> list[Box]:
    return [s for s in drawing.shapes if isinstance(s, Box) and s.kind == "pane"]


def lettering(drawing) -> list[str]:
    return [s.text for s in drawing.shapes if isinstance(s, Words)]


def test_nothing_known_is_a_sketch():
    """Without a height the drawing does not say that it is to scale."""
    drawing = draw_window(dim("Upper"), dim("Lower"), [dim("Opening")])
    assert "a sketch: no height is known yet" in lettering(drawing)


@pytest.mark.parametrize(
    "upper, lower", [("20", "20"), ("12", "24"), ("30", "15"), ("13 1/4", "13 1/4")]
)
def test_panes_are_to_scale(upper, lower):
    """The panes stand in the ratio of the two glass heights, upper above lower."""
    drawing = draw_window(dim("Upper", upper), dim("Lower", lower))
    above, below = panes(drawing)
    asked = parse_length(upper, Unit.INCH) / parse_length(lower, Unit.INCH)
    assert above.height / below.height == pytest.approx(asked)
    assert above.y + above.height < below.y


def test_whole_heights_are_to_scale():
    """A dimension line of the opening is as much longer than the pane's as the opening is."""
    drawing = draw_window(dim("Upper", "20"), dim("Lower", "20"), [dim("Opening", "46")])
    tips = [s for s in drawing.shapes if isinstance(s, Arrow) and s.kind == "dimension"]
    upper, _, opening = [abs(a.y - b.y) for a, b in zip(tips[::2], tips[1::2], strict=True)]
    assert opening / upper == pytest.approx(46 / 20)


def test_missing_measure():
    """A measure nobody gave is a dotted line with a question mark, and is said to be unknown."""
    drawing = draw_window(dim("Upper glass", "20"), dim("Lower glass"))
    assert "?" in lettering(drawing)
    assert {s.kind for s in drawing.shapes if isinstance(s, Arrow)} == {
        "dimension",
        "missing",
        "thin",
    }
    assert "Lower glass: not known yet" in drawing.description


def test_doubtful_measure_is_marked_by_line_sign_and_word():
    """A doubtful measure has a dashed line, a sign and a word: colour is not needed to see it."""
    drawing = draw_window(dim("Upper", "19", doubt="slip"), dim("Lower", "20"))
    (word,) = [s for s in drawing.shapes if isinstance(s, Words) and s.mark]
    assert (word.text, word.kind) == ("slip", "doubt")
    assert "Upper: 19 (slip)" in drawing.description
    assert 'class="mark"' in to_svg(drawing, "a")


def test_cottage_split_of_one_sash_and_the_opening():
    """With one sash and the opening the other sash takes what is left."""
    drawing = draw_window(dim("Upper", "12"), dim("Lower"), [dim("Opening", "46")])
    above, below = panes(drawing)
    assert below.height > 1.5 * above.height


def test_heights_that_contradict():
    """Glass taller than its opening is drawn by the glass, and the sheet says it is not to scale."""
    drawing = draw_window(dim("Upper", "30"), dim("Lower", "30"), [dim("Opening", "46")])
    assert "not to scale: the heights do not add up" in lettering(drawing)


lengths = st.none() | st.integers(1, 10_000 * 320).map(Length)


@given(lengths, lengths, lengths, lengths, lengths)
def test_any_numbers_stay_on_the_sheet(upper, lower, opening, long_point, width):
    """Whatever is typed, both sashes and every tip lie on the sheet and the SVG is well formed."""
    drawing = draw_window(
        Dimension("U", "u", upper),
        Dimension("L", "l", lower),
        [Dimension("O", "o", opening), Dimension("P", "p", long_point)],
        width,
    )
    assert len(panes(drawing)) == 2
    for shape in drawing.shapes:
        if isinstance(shape, Arrow):
            assert 0 <= shape.x <= drawing.width
            assert 0 <= shape.y <= drawing.height
        if isinstance(shape, Box):
            assert min(shape.width, shape.height) > 0
    ET.fromstring(to_svg(drawing, "a"))  # noqa: S314


@given(st.text(max_size=70))
def test_any_words_stay_words(text):
    """Words on the drawing never become markup, and control characters do not break it."""
    drawing = draw_window(
        Dimension(text, text, Length(8128), doubt=text), Dimension("L"), [Dimension(text)]
    )
    root = ET.fromstring(to_svg(drawing, "a"))  # noqa: S314
    assert root.tag.endswith("svg")
    assert {e.tag.rpartition("}")[2] for e in root.iter()} <= {
        "svg", "title", "desc", "path", "rect", "polygon", "text",
    }  # fmt: skip
