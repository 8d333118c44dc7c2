"""Text from a caller stays text, wherever it is shown."""

import pytest

from tests.quotes.counter_page import fields_of, page

EVIL = '"><script>alert(1)</script><!--'
PLACES = ("label", "m-upper_glass", "m-lower_glass", "override", "override_reason", "finish",
          "quantity", "sash-thickness", "sash-panes", "sash-glass_width")  # fmt: skip


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("url", ["/counter/", "/counter/answer/?o=0", "/counter/opening/?o=0"])
def test_markup_in_an_opening(clerk, liner, place, url):
    """Markup typed into a box is shown as the characters it is made of."""
    typed = page({"m-opening": "47 7/8", place: EVIL}, do="answer")
    assert "<script>alert" not in clerk.post(url, typed).content.decode()


def test_markup_in_the_head(clerk, liner):
    """A name or note of markup is kept to the letter, shown as text and found in the list."""
    saved = clerk.post("/counter/", page({"m-opening": "47 7/8"}, caller=EVIL, note=EVIL))
    response = clerk.get(saved["Location"])
    assert fields_of(response)["caller"] == EVIL
    for shown in (response, clerk.get("/requests/", {"q": "alert(1)"})):
        assert "<script>alert" not in shown.content.decode()
        assert "alert(1)" in shown.content.decode()


@pytest.mark.parametrize("text", ["🪟 кухня ⁧left⁩", "x" * 60, "\x00", "a" * 400])
def test_odd_text_as_a_measure(clerk, liner, text):
    """Any text in a measure's box is answered with a page."""
    assert clerk.post("/counter/", page({"m-opening": text}, do="answer")).status_code in (200, 422)
