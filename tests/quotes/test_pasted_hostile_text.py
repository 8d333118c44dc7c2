"""A hostile message stays text on the page and in the request."""

import pytest

from quotes.models import Request
from tests.quotes.counter_page import fields_of
from tests.quotes.pasted_page import read, send

HOSTILE = {
    "markup": '</mark><script>alert(1)</script> "><img src=x onerror=alert(2)> upper glass 20 1/4',
    "in the words": "upper <b>glass</b> 20 1/4 <i>in</i> ash, opening 47 7/8'\"><script>",
    "in the label": "Room <script>: upper glass 20 1/4\nkitchen'\"><svg onload=x>: opening 47 7/8",
    "in the name": "upper glass 20 1/4\nThanks\n<script>Mara</script> Quill",
    "template": "{{ form.head }} {% csrf_token %} upper glass 20 1/4",
    "right to left": "upper glass \u202e4/1 02\u202c 20 1/4 \u2066 opening 47 7/8",
    "odd letters": "upper glass 20 1/4 \u0000\u0007\ud83e\ude9f\U0001fa9f é̂ ｕｐｐｅｒ １７ ⅜".encode(
        "utf-8", "ignore"
    ).decode(),
    "unsure": "opening <script>47 7/8 or 48 7/8</script>, upper glass 20 1/4",
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_no_markup_comes_through(clerk, liner, text):
    """None of the message's own markup stands in the page, before or after an error."""
    page = read(clerk, text)
    again = send(clerk, page, "make")
    assert again.status_code == 422
    for shown in (page.content.decode(), again.content.decode()):
        assert "<script>" not in shown and "<img" not in shown and "<svg onload" not in shown
        assert " style=" not in shown and "javascript:" not in shown


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_text_comes_through_whole(clerk, liner, text):
    """The request's note is the message, letter by letter, but for NUL."""
    page = read(clerk, text)
    ticks = {f"o{at}_right": "on" for at in fields_of(page)["openings"]}
    made = send(clerk, page, "make", email="", **ticks)
    assert made.status_code == 302
    assert Request.objects.get().note == text.replace("\0", "")


@pytest.mark.parametrize(
    "changed",
    [
        {"read_by": "no-such-family"},
        {"read": "\0" * 50, "placed": "x"},
        {"placed": "0=o7-m-opening"},
        {"placed": "0=o0-family"},
        {"u0": "o0-family"},
        {"u0": "new"},
        {"u0": "o99-m-opening"},
        {"page": "no page"},
        {"openings": ["0", "1", "999", "x"]},
        {"openings": []},
    ],
    ids=str,
)
def test_page_that_was_tampered_with(clerk, liner, changed):
    """A page no browser would send is answered with a page, never with a fault."""
    page = read(clerk, "upper glass 20 1/4, opening 47 7/8 or 48 7/8")
    for do in ("work", "place", "make", "read"):
        assert send(clerk, page, do, **changed).status_code in (200, 302, 409, 422)
