"""A part sold by length: a bar with its dimension lines."""

from quotes.drawing import Arrow, Dimension, Words, draw_bar
from quotes.svg import to_svg
from sizing.lengths import Length


def spans(drawing) -> list[float]:
    tips = [s for s in drawing.shapes if isinstance(s, Arrow)]
    return [b.x - a.x for a, b in zip(tips[::2], tips[1::2], strict=True)]


def test_lengths_are_to_scale():
    """Two lengths of one part stand in their ratio."""
    drawing = draw_bar([Dimension("Sash", "600", Length(600)), Dimension("Channel", "450", Length(450))])  # fmt: skip
    sash, channel = spans(drawing)
    assert channel / sash == 0.75


def test_nothing_known():
    """Without any number the bar has a question mark."""
    drawing = draw_bar([Dimension("Length")])
    assert "?" in [s.text for s in drawing.shapes if isinstance(s, Words)]
    assert drawing.description == "Length: not known yet; drawn to scale."


def test_accessible_name():
    """The SVG has a name and a description that its role refers to."""
    svg = to_svg(draw_bar([Dimension("Length", "600", Length(600))]), "o3-drawing")
    assert 'role="img" aria-labelledby="o3-drawing-title o3-drawing-about"' in svg
    assert '<title id="o3-drawing-title">The part to scale</title>' in svg
    assert '<desc id="o3-drawing-about">Length: 600; drawn to scale.</desc>' in svg
