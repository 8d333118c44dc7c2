"""A message cut at its marks is the same message."""

from hypothesis import given
from hypothesis import strategies as st

from quotes.messages import Stretch
from quotes.pasted.marks import Mark, cut

TEXT = "upper and lower glass 20 1/4"


def mark(ref, start, end, sure=True):
    return Mark(ref, ref, f"box-{ref}", Stretch.of(TEXT, start, end), sure)


@given(st.lists(st.tuples(st.integers(0, len(TEXT)), st.integers(0, len(TEXT)))))
def test_nothing_is_lost(spans):
    """However the marks overlap, the pieces joined are the text, and each mark ends once if it stands."""
    marks = [mark(str(n), start, end) for n, (start, end) in enumerate(spans)]
    pieces = cut(TEXT, marks)
    assert "".join(piece.text for piece in pieces) == TEXT
    ended = [m.ref for piece in pieces for m in piece.ends]
    assert sorted(ended) == sorted(m.ref for m in marks if m.words.start < m.words.end)
    for piece in pieces:
        assert set(piece.ends) <= set(piece.marks)


def test_overlap():
    """Words that served two boxes carry both signs where they end."""
    pieces = cut(TEXT, [mark("1a", 0, 28), mark("1b", 10, 28), mark("?1", 22, 28, sure=False)])
    assert [(p.text, [m.ref for m in p.ends], p.sure) for p in pieces] == [
        ("upper and ", [], True),
        ("lower glass ", [], True),
        ("20 1/4", ["1a", "1b", "?1"], True),
    ]
