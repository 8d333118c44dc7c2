"""Words that were not placed go where the clerk says, and never over something that stands there."""

from quotes.models import Request
from tests.quotes.counter_page import fields_of, words_of
from tests.quotes.pasted_page import CONTRADICTORY, read, send

TWICE = "upper glass 20 1/4, opening 47 7/8, opening 48 7/8"


def test_into_an_empty_box(clerk, liner):
    """The words go into the chosen box, are marked as placed by the clerk and stay so."""
    page = read(clerk, TWICE)
    placed = send(clerk, page, "place", u1="o0-m-opening")
    assert fields_of(placed)["o0-m-opening"] == "48 7/8"
    assert "?2 “ 48 7/8 ” was placed by you" in words_of(placed)
    again = send(clerk, placed, "work")
    assert fields_of(again)["placed"] == "1=o0-m-opening"
    assert "Not placed: 1" in words_of(again)


def test_placed_words_may_be_mended(clerk, liner):
    """A box that was filled so can be changed by hand; nothing is put back over it."""
    placed = send(clerk, read(clerk, CONTRADICTORY), "place", u0="o0-m-opening")
    assert fields_of(placed)["o0-m-opening"] == "47 7/8 or 48 7/8"
    mended = send(clerk, placed, "work", **{"o0_m-opening": "48 7/8"})
    assert fields_of(mended)["o0-m-opening"] == "48 7/8"


def test_never_over_something(clerk, liner):
    """A box that holds something keeps it; the sentence names it, and the choice stays."""
    again = send(clerk, read(clerk, TWICE), "place", u1="o0-m-upper_glass")
    assert fields_of(again)["o0-m-upper_glass"] == "20 1/4"
    assert 'value="o0-m-upper_glass" selected' in again.content.decode()
    assert "Upper glass height of opening 1 holds “20 1/4” already" in words_of(again)


def test_into_the_count(clerk, liner):
    """A number in words goes into the count as a number."""
    page = read(clerk, "two of the liners in the kitchen have cracked, upper glass 20 1/4")
    assert fields_of(send(clerk, page, "place", u0="o0-quantity"))["o0-quantity"] == "2"


def test_count_that_was_said(clerk, liner):
    """A count of one that the message says is not replaced; one that nobody said is."""
    page = read(clerk, f"{TWICE}, qty 1. Of those two of the liners have cracked")
    assert fields_of(page)["o0-quantity"] == "1"
    again = send(clerk, page, "place", u2="o0-quantity")
    assert fields_of(again)["o0-quantity"] == "1"
    assert "Count of opening 1 holds “1” already" in words_of(again)


def test_no_number_for_the_count(clerk, liner):
    """Words that say no whole number do not go into the count, and the sentence says so."""
    again = send(clerk, read(clerk, CONTRADICTORY), "place", u0="o0-quantity")
    assert fields_of(again)["o0-quantity"] == "1"
    assert "“47 7/8 or 48 7/8” is no one whole number" in words_of(again)


def test_into_another_opening(clerk, liner):
    """Words may begin an opening that was not found."""
    placed = send(clerk, read(clerk, TWICE), "place", u1="new-m-opening")
    fields = fields_of(placed)
    assert (fields["openings"], fields["o1-m-opening"]) == (["0", "1"], "48 7/8")
    send(clerk, placed, "make", o0_right="on", o1_right="on")
    assert [o.said for o in Request.objects.get().openings.all()] == [
        {"upper_glass": "20 1/4"},
        {"opening": "48 7/8"},
    ]


def test_chosen_and_made_at_once(clerk, liner):
    """A choice that was not put in yet is not lost when the request is made."""
    send(clerk, read(clerk, TWICE), "make", u1="o0-m-opening", o0_right="on")
    assert Request.objects.get().openings.get().said["opening"] == "48 7/8"


def test_many_doubts(clerk, liner):
    """Of very many doubtful words the first 40 have a choice, and the page counts the rest."""
    text = "\n".join(f"opening {40 + n % 9} or {41 + n % 9}" for n in range(60))
    page = read(clerk, text)
    assert page.content.decode().count('<select name="u') == 40
    assert "20 more" in words_of(page)
