"""A message pasted into the box comes back as boxes, each with the words it came from."""

import pytest

from quotes.models import Request
from sizing.lengths import unbroken
from tests.quotes.counter_page import fields_of, words_of
from tests.quotes.pasted_page import CLEAN, CONTRADICTORY, NOTHING, PASTED, SEVERAL, read
from tests.quotes.shop import opening, take_request


def test_clean_message(clerk, liner):
    """Every measure, the count, the finish and the contact stand in their boxes beside their words."""
    page = read(clerk, CLEAN)
    fields, words = fields_of(page), words_of(page)
    assert {name: fields[name] for name in fields if name.startswith("o0-") and fields[name]} == {
        "o0-family": "otter-liner",
        "o0-label": "kitchen",
        "o0-quantity": "2",
        "o0-finish": "slate",
        "o0-m-upper_glass": "20 1/4",
        "o0-m-lower_glass": "20 1/4",
        "o0-m-opening": "47 7/8",
        "o0-m-sash_weight": "9 lb",
    }
    assert fields["caller"] == "Mara Quill"
    assert fields["email"] == "mara@quill.example"
    assert "1a “ upper glass 20 1/4 ”" in words
    assert "phone “ 802 555 0117 ”" in words
    assert "One part: OHL-05LS" in words


def test_nothing_is_confirmed_by_itself(clerk, liner):
    """Nobody has looked yet: no tick is set and no request is stored."""
    assert "o0-right" not in fields_of(read(clerk, CLEAN))
    assert not Request.objects.exists()


def test_words_are_marked_in_the_message(clerk, liner):
    """The message stands whole on the page; used words are marked and lead to their boxes. No line ends inside a
    number: 16 and, below it, 1/4."""
    page = read(clerk, "Upper glass 20 1/4 & opening 47 7/8.").content.decode()
    assert (
        f'<mark>{unbroken("Upper glass 20 1/4")}</mark><a class="ref" id="said-1a" href="#o0-m-upper_glass">'
        in page
    )
    assert 'href="#said-1a"' in page


def test_several_windows(clerk, liner):
    """Each window has its own boxes; what was said in the other unit stays exact."""
    fields = fields_of(read(clerk, SEVERAL))
    assert fields["openings"] == ["0", "1", "2"]
    found = [
        (fields[f"o{at}-label"], fields[f"o{at}-m-upper_glass"], fields[f"o{at}-finish"])
        for at in range(3)
    ]
    assert found == [("kitchen", "20 1/4", "ash"), ("hall", "514 mm", "slate"), ("stairs", "16", "chalk")]  # fmt: skip
    assert fields["o1-quantity"] == "3"


def test_split_is_named_and_not_believed(clerk, liner):
    """A word on how the sashes divide is shown; the split shown comes from the heights."""
    words = words_of(read(clerk, SEVERAL))
    assert "It says “ cottage ”" in words
    assert "Split: cottage, glass 16 over 24" in words


def test_contradiction_is_left_open(clerk, liner):
    """Of two values for one measure neither is taken; both stand under "Not placed"."""
    page = read(clerk, CONTRADICTORY)
    assert fields_of(page)["o0-m-opening"] == ""
    assert f'class="unsure">{unbroken("47 7/8 or 48 7/8")}</mark>' in page.content.decode()
    assert "Not placed: 1 ?1 “ 47 7/8 or 48 7/8 ”" in words_of(page)


def test_what_is_not_said_is_not_said(clerk, liner):
    """A count that nobody said shows as one, and says that it was not said."""
    words = words_of(read(clerk, "upper glass 20 1/4"))
    assert "not said, so one" in words


def test_nothing_found(clerk, liner):
    """A message without an opening leads to one blank opening, and says so."""
    page = read(clerk, NOTHING)
    assert "No opening of Otter" in words_of(page)
    assert fields_of(page)["openings"] == "0"


@pytest.mark.parametrize("text", ["", " \n\t "])
def test_nothing_to_read(clerk, liner, text):
    """An empty box is told of in one sentence."""
    page = read(clerk, text)
    assert page.status_code == 422
    assert "Nothing to read yet" in words_of(page)


def test_too_long(clerk, liner):
    """Over 20,000 characters are not cut: the sentence names the limit, the text stays in the box."""
    text = "upper glass 20 1/4 " + "x" * 20_000
    page = read(clerk, text)
    assert page.status_code == 422
    assert "20,019 characters" in words_of(page)
    assert fields_of(page)["text"] == text


def test_line_ends_of_a_browser(clerk, liner):
    """A browser sends two characters for a line end: 20,000 characters with many lines still fit."""
    lines = ("upper glass\r\n" * 1_667)[: 20_000 + 1_667 - 20]
    assert read(clerk, lines).status_code == 200


def test_more_openings_than_a_request_holds(clerk, liner):
    """Of 45 windows the first 40 are shown, and the page says that 5 more are in the message."""
    text = "\n".join(f"window {n}: upper glass 20 1/4, opening 47 7/8" for n in range(1, 46))
    page = read(clerk, text)
    assert len(fields_of(page)["openings"]) == 40
    assert "5 more openings in the message" in words_of(page)


def test_family_of_the_last_call(clerk, liner, balance):
    """The box begins with the family that this clerk took last."""
    clerk.post(
        "/counter/",
        {"version": "0", "openings": "0", "o0-family": "heron-balance", "o0-label": "hall", "do": "save"},
    )  # fmt: skip
    assert fields_of(clerk.get(PASTED))["family"] == "heron-balance"


def test_family_of_the_shops_last_call(clerk, liner, balance):
    """For who has taken none yet it begins with the family that anybody took last."""
    take_request(opening(upper_glass="20 1/4"))
    assert fields_of(clerk.get(PASTED))["family"] == "otter-liner"
    assert fields_of(clerk.get("/counter/"))["o0-family"] == "otter-liner"


def test_without_a_table(clerk):
    """Before any table is in force the page says so."""
    assert "No size table is in force yet" in words_of(clerk.get(PASTED))
