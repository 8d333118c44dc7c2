"""What a list shows is escaped cell by cell: only markup of our own reaches the page."""

import pytest

from quotes.cells import address, beside, faint, link, theirs
from sizing.columns import Column
from sizing.lists import Listing

BAD = '<img src=x onerror="alert(1)">&\''
SAFE = "&lt;img src=x onerror=&quot;alert(1)&quot;&gt;&amp;&#x27;"


@pytest.mark.parametrize(
    ("column", "cell"),
    [
        (Column("Name", str), f"<td>{SAFE}</td>"),
        (Column("Name", len, drawn=str), f"<td>{SAFE}</td>"),
        (Column("Name", len, drawn=theirs), f"<td><bdi>{SAFE}</bdi></td>"),
        (Column("Name", len, drawn=lambda x: beside(theirs(x), faint(x))),
         f'<td><bdi>{SAFE}</bdi> <span class="faint">{SAFE}</span></td>'),
        (Column("Name", str, heads=True, css="day", told=True),
         f'<th scope="row" class="day" data-name="Name">{SAFE}</th>'),
        (Column("Name", lambda x: None), "<td></td>"),
        (Column("Name", lambda x: 0, figure=True), '<td class="figure">0</td>'),
        (Column("Name", str, shown=False), ""),
    ],
)  # fmt: skip
def test_a_cell(column, cell):
    assert Listing("x", "X", (column,)).drawn([BAD]).strip() == f"<tr>{cell}</tr>"


def test_a_link_escapes_its_words_and_takes_a_number_only():
    """Words of others are escaped, what is escaped already is not escaped again, a key is a number."""
    assert link("order", 7, BAD) == f'<a href="/orders/7/">{SAFE}</a>'
    assert link("order", 7, theirs("A & B")) == '<a href="/orders/7/"><bdi>A &amp; B</bdi></a>'
    with pytest.raises(ValueError):
        address('7"><script>', "order")
