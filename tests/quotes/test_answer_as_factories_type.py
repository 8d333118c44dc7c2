"""Weeks and prices as people at a factory type them, on the page that their link opens."""

import pytest

from quotes.enquiries import weeks_typed
from tests.quotes import letters, specials
from tests.quotes.test_enquiry_answered import send

pytestmark = pytest.mark.usefixtures("built")


def build():
    specials.set_up()


@pytest.mark.parametrize(
    ("typed", "weeks"),
    [
        ("5", (5, 5)), ("6-7", (6, 7)), (" 6 – 7 weeks ", (6, 7)), ("6 to 7 wks.", (6, 7)),
        ("0", (0, 0)), ("5 working weeks", (5, 5)), ("104", (104, 104)),
        ("105", None), ("7-6", None), ("6-7-8", None), ("soon", None), ("5.5", None), ("-5", None),
        ("6 months", None), ("", None),
    ],
)  # fmt: skip
def test_weeks(typed, weeks):
    """One number or two; anything else is asked about."""
    assert weeks_typed(typed) == weeks


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        ("6-7", "", "6 to 7 working weeks"),
        ("", "6-7", "6 to 7 working weeks"),
        ("6-7", "6-7", "6 to 7 working weeks"),
        ("5", "6-7 weeks", "5 to 7 working weeks"),
        ("6-7", "8", "6 to 8 working weeks"),
    ],
)
def test_the_later_week_counts(low, high, words):
    """The page and the special say both, as the factory did."""
    enquiry = specials.asked()
    assert send(enquiry, weeks_min=low, weeks_max=high).status_code == 302
    enquiry.refresh_from_db()
    assert enquiry.lead_words == words
    assert words in letters.page(enquiry)
    assert words in enquiry.special.events.last().why


@pytest.mark.parametrize(("low", "high"), [("5", ""), ("", "6"), ("6-7", "5"), ("soon", "6-7")])
def test_one_week_alone_is_no_range(low, high):
    """What is missing or can't be is asked for; what was typed stands."""
    enquiry = specials.asked()
    page = send(enquiry, weeks_min=low, weeks_max=high)
    assert page.status_code == 422
    for name, typed in (("weeks_min", low), ("weeks_max", high)):
        assert not typed or f'name="{name}" value="{typed}"' in page.content.decode()
    enquiry.refresh_from_db()
    assert enquiry.answered_at is None


def test_the_same_for_all_of_a_letter():
    """Typed once at the head it holds for each opening; an opening's own comes before it whole."""
    one, other = letters.ask(letters.request_of(2))
    sent = letters.send(
        one,
        letters.same(**{"same-weeks_min": "6-7", "same-weeks_max": ""}),
        letters.boxes(one, unit_cost="128.40/pr"),
        letters.boxes(other, unit_cost="90", weeks_min="8-9"),
    )
    assert sent.status_code == 302
    one.refresh_from_db()
    other.refresh_from_db()
    assert (one.lead_words, other.lead_words) == ("6 to 7 working weeks", "8 to 9 working weeks")
    assert one.cost_words == "128.40 USD"


@pytest.mark.parametrize(
    "typed",
    [
        "$128.40/pr",
        "128.40/pair",
        "$ 128.40 / pr.",
        "128.40 per pair",
        "128.40 a pair",
        "128.40 PR",
    ],
)
def test_a_price_may_say_what_it_is_for(typed):
    """The liner is asked for by the pair."""
    enquiry = specials.asked()
    assert send(enquiry, unit_cost=typed).status_code == 302
    enquiry.refresh_from_db()
    assert enquiry.cost_words == "128.40 USD"


@pytest.mark.parametrize(
    ("typed", "word"), [("128.40 each", "each"), ("$64.20/pc", "pc"), ("64.20 per piece", "piece")]
)
def test_a_price_for_something_else_is_asked_about(typed, word):
    """Half a pair's price is no price of a pair: one sentence, and what was typed stands."""
    enquiry = specials.asked()
    page = send(enquiry, unit_cost=typed)
    html = page.content.decode()
    assert page.status_code == 422 and f'value="{typed}"' in html
    assert (
        f"We ask for the price of one pair, and this says “{word}”: type the price of one pair."
        in html
    )
    assert "Type your price." not in html


def test_by_the_piece_each_is_one():
    """And a pair's price is none of a piece."""
    enquiry = specials.asked()
    enquiry.document["unit"] = "piece"
    enquiry.save(update_fields=["document"])
    assert "this says “pr”" in send(enquiry, unit_cost="$128.40/pr").content.decode()
    assert send(enquiry, unit_cost="128.40 each").status_code == 302
    enquiry.refresh_from_db()
    assert enquiry.cost_words == "128.40 USD"
