"""A request becomes a draft quote."""

from decimal import Decimal

import pytest

from quotes.desk.drafts import QuoteError
from quotes.desk.quoting import begin_quotes, left_out, take_lines
from quotes.lists.issues import document_of
from quotes.models import Quote
from tests.quotes import shop

pytestmark = pytest.mark.usefixtures("built")


def build():
    shop.set_up()


def test_the_same_part_adds_up():
    """Two openings with one part are one line of pairs; the finish makes another line."""
    issue = shop.draft_quote(
        shop.part_opening("Kitchen", 2),
        shop.part_opening("Hall", 3),
        shop.part_opening("Attic", 1, "ash"),
    )
    lines = [(line.part.part_number, line.quantity, line.sold_as) for line in issue.lines.all()]
    assert lines == [("OHL-05LS", 5, "pair"), ("OHL-05LA", 1, "pair")]
    first = document_of(issue).lines[0]
    assert first.openings == ("Opening 1, Kitchen", "Opening 2, Hall")


def test_a_special_is_a_line_without_a_price_yet():
    """A cottage split waits for the factory: a line of its own, left out of the total."""
    issue = shop.draft_quote(shop.part_opening(), shop.cottage_opening())
    document = document_of(issue)
    assert [(line.kind, line.total is None) for line in document.lines] == [
        ("part", False),
        ("special", True),
    ]
    assert document.sums.goods == document.lines[0].net


def test_an_opening_with_a_question_is_left_out_and_said_so():
    """An opening that still has its question is named, not silently dropped."""
    request = shop.take_request(shop.part_opening(), shop.opening("Barn", opening="47 7/8"))
    issue = shop.draft_of(request)
    assert issue.lines.count() == 1
    assert [sentence[:24] for sentence in left_out(request)] == ["Opening 2, Barn is left "]


def test_many_left_out_are_told_in_one_sentence():
    """Of a schedule with dozens of questions the page gets one sentence with every name, not dozens."""
    barns = [shop.opening(f"Barn {at}", opening="47 7/8") for at in range(6)]
    (sentence,) = left_out(shop.take_request(shop.part_opening(), *barns))
    assert sentence.startswith(
        "6 openings are left out, their questions are not answered yet: Open"
    )
    assert all(f"Barn {at}" in sentence for at in range(6))


def test_pressed_twice_makes_one_quote():
    """The button pressed again finds the draft it made before."""
    request = shop.take_request(shop.part_opening())
    assert begin_quotes(request.pk, "ann") == begin_quotes(request.pk, "ben")
    assert Quote.objects.count() == 1


def test_nothing_to_quote_is_said():
    """A request of questions alone makes no quote and no customer; the openings that ask are named."""
    request = shop.take_request(
        shop.opening("Barn", opening="47 7/8"), shop.opening(opening="47 7/8")
    )
    with pytest.raises(QuoteError, match=r"what is asked: Opening 1, Barn; Opening 2\.$"):
        begin_quotes(request.pk, "ann")
    assert not Quote.objects.exists()


def test_of_many_that_ask_some_are_named():
    barns = [shop.opening(f"Barn {at}", opening="47 7/8") for at in range(7)]
    with pytest.raises(QuoteError, match=r"Opening 5, Barn 4; and others\.$"):
        begin_quotes(shop.take_request(*barns).pk, "ann")


def test_lines_by_hand_and_priced_specials_outlive_new_lines():
    """Taking the lines anew renews parts and keeps what somebody typed."""
    issue = shop.draft_quote(shop.part_opening(), shop.cottage_opening())
    shop.price_specials(issue, "211.50")
    shop.add_line(issue.pk, "Drop-off", 1, Decimal(10))
    take_lines(issue)
    lines = list(issue.lines.values_list("kind", "unit_price"))
    assert lines == [
        ("part", Decimal("78.6000")),
        ("special", Decimal("211.5000")),
        ("hand", Decimal("10.0000")),
    ]


def test_one_quote_a_currency(balance):
    """Families priced in two currencies make two quotes, none of them mixed."""
    channel = shop.SaidOpening(
        family="heron-balance",
        measures={"sash_height": "448", "channel": "401", "sash_weight": "7"},
        finish="",
    )
    request = shop.take_request(shop.part_opening(), channel)
    quotes = begin_quotes(request.pk, "ann")
    assert [quote.currency for quote in quotes] == ["USD", "CAD"]
