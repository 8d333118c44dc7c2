"""The factory's answer priced: by the margin rule or by hand, checked where it must be, into the quote."""

from datetime import timedelta
from decimal import Decimal

import pytest
import time_machine
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from moneyed import Money

from quotes.allot import unit_of
from quotes.desk.quoting import begin_quotes
from quotes.desk.special_prices import check, price, tell_refused
from quotes.desk.specials import EnquiryError
from quotes.enquiries import Margin, price_with, why_checked
from quotes.links import factory_address
from quotes.lists.specials import margin_on
from quotes.models import Letter, MarginRule, QuoteLine
from sizing.models import Family
from tests.quotes import specials

pytestmark = pytest.mark.django_db
BY_HAND = Decimal("150.00")


@pytest.mark.parametrize(
    "percent, cost, currency, wanted",
    [
        ("40", "100.00", "USD", "140.00"),
        ("42", "131.40", "USD", "186.59"),
        ("12.5", "0.20", "USD", "0.23"),
        ("37.5", "0.20", "USD", "0.28"),
        ("30", "995", "JPY", "1294"),
        ("33.3333", "1.500", "KWD", "2.000"),
        ("0", "7.77", "EUR", "7.77"),
    ],
)
def test_cost_and_margin(percent, cost, currency, wanted):
    """Price = cost x (100 + margin) / 100 in whole minor units, exactly half going up as everywhere."""
    assert price_with(Decimal(percent), Decimal(cost), currency) == Decimal(wanted)


@pytest.mark.parametrize(
    "unit, quantity, rule, words",
    [
        ("140", 1, Margin(Decimal(40), Decimal(500)), None),
        ("140", 3, Margin(Decimal(40), Decimal(420)), None),
        ("140", 4, Margin(Decimal(40), Decimal(500)), "more than 500.00 USD"),
        ("139", 1, Margin(Decimal(40), Decimal(500)), "below the 40 %"),
        ("140", 99, Margin(Decimal(40), None), None),
        ("140", 1, None, "no margin rule"),
    ],
)
def test_what_a_manager_checks(unit, quantity, rule, words):
    """Over the limit, under the margin, or without a rule; nothing else."""
    found = why_checked(Decimal(unit), quantity, Decimal(100), rule, "USD")
    assert found is None if words is None else words in found


@pytest.mark.parametrize(("cost", "currency"), [("3.03", "USD"), ("101", "JPY"), ("0.003", "KWD")])
def test_the_rules_own_price_is_not_below_it(cost, currency):
    """Rounded down to whole yen or cents it holds a little less than 35 %; a unit less is checked."""
    cost, rule = Decimal(cost), Margin(Decimal(35))
    price = price_with(rule.percent, cost, currency)
    assert (price - cost) / cost < Decimal("0.35")
    assert why_checked(price, 1, cost, rule, currency) is None
    assert why_checked(price - unit_of(currency), 1, cost, rule, currency)


def test_by_the_rule_it_goes_into_the_quote():
    """Price, cost, margin, weeks and date stand in the special line of the draft quote."""
    specials.set_up()
    special = price(specials.answered().pk, None, by="ann", is_manager=False)
    line = QuoteLine.objects.get(kind="special")
    assert (special.state, special.line) == ("quoted", line)
    assert (line.unit_price, line.factory_cost) == (Decimal("140.00"), Money("100.00", "USD"))
    assert (line.margin_percent, line.lead_words) == (
        Decimal("40"),
        "5 to 6 working weeks, as the factory answered",
    )
    assert line.factory_valid_until == timezone.localdate() + timedelta(days=30)
    assert line.openings.get() == special.opening


def test_the_quote_that_is_there_takes_it():
    """A draft begun before the answer gets the price; no second quote, no second line."""
    specials.set_up()
    special = specials.answered()
    (quote,) = begin_quotes(special.request_id, "ann")
    price(special.pk, None, by="ann", is_manager=False)
    assert QuoteLine.objects.get().issue.quote == quote


def test_the_customer_is_told_once():
    """One letter to the caller's address, with price and weeks."""
    specials.set_up()
    special = price(specials.answered().pk, None, by="ann", is_manager=False)
    letter = Letter.objects.get(to="mara@quill.example")
    assert "140.00 USD per pair, leaves the factory 5 to 6 working weeks" in letter.body
    assert letter.special == special and specials.happened(special)[-1] == "customer told"


def test_without_an_address_somebody_calls():
    """No e-mail anywhere: the special says that the customer is to be called."""
    specials.set_up()
    special = price(specials.answered({"email": ""}).pk, None, by="ann", is_manager=False)
    assert specials.happened(special)[-1] == "customer to be called"


@pytest.mark.parametrize("is_manager, state", [(False, "to_check"), (True, "quoted")])
def test_over_the_limit_the_manager_checks(is_manager, state):
    """A clerk's press leaves it for the manager; a manager's own press is the check."""
    specials.set_up(check_over="100")
    special = price(specials.answered().pk, None, by="ann", is_manager=is_manager)
    assert special.state == state
    assert QuoteLine.objects.filter(unit_price__isnull=False).exists() is is_manager


def test_checked_it_goes_into_the_quote():
    """The manager's check puts the clerk's price into the quote, and both names are kept."""
    specials.set_up(check_over="100")
    special = price(specials.answered().pk, None, by="ann", is_manager=False)
    check(special.pk, by="oswin")
    assert QuoteLine.objects.get().unit_price == Decimal("140.00")
    who = dict(special.events.values_list("what", "by"))
    assert (who["priced by the margin rule"], who["checked"]) == ("ann", "oswin")


def test_only_a_manager_may_check(clerk):
    """A clerk who posts the check by hand changes nothing."""
    specials.set_up(check_over="100")
    special = price(specials.answered().pk, None, by="ann", is_manager=False)
    clerk.post(f"/specials/{special.pk}/do/", {"do": "check"})
    special.refresh_from_db()
    assert special.state == "to_check"
    specials.manager().post(f"/specials/{special.pk}/do/", {"do": "check"})
    special.refresh_from_db()
    assert special.state == "quoted"


def test_by_hand_with_its_reason():
    """A price by hand at or over the rule's margin counts; its reason is kept."""
    specials.set_up()
    special = price(specials.answered().pk, BY_HAND, by="ann", is_manager=False, why="rush")
    assert QuoteLine.objects.get().unit_price == BY_HAND
    assert "rush" in special.events.get(what="priced by hand").why


def test_by_hand_needs_a_reason(clerk):
    """The form says so and keeps the price typed."""
    specials.set_up()
    special = specials.answered()
    page = clerk.post(f"/specials/{special.pk}/do/", {"do": "price", "unit_price": "150.00"})
    assert page.status_code == 422 and 'value="150.00"' in page.content.decode()
    assert "Say why it is priced by hand" in page.content.decode()


def test_another_currency_is_priced_by_hand():
    """A cost in another currency is never turned into a price by the rule."""
    specials.set_up()
    special = specials.answered(unit_cost=Money("100.00", "CAD"))
    with pytest.raises(EnquiryError, match="type the price by hand"):
        price(special.pk, None, by="ann", is_manager=True)
    price(special.pk, BY_HAND, by="ann", is_manager=True, why="at today's rate")
    line = QuoteLine.objects.get()
    assert (line.unit_price, line.factory_cost) == (BY_HAND, Money("100.00", "CAD"))
    assert line.margin_percent is None


def test_a_lapsed_answer_is_not_priced():
    """After the factory's day the desk has to ask again."""
    specials.set_up()
    special = specials.answered()
    with (
        time_machine.travel(timezone.now() + timedelta(days=31)),
        pytest.raises(EnquiryError, match="ask again"),
    ):
        price(special.pk, None, by="ann", is_manager=True)


def test_changed_measures_are_not_priced():
    """A price for other measures never reaches the quote."""
    specials.set_up()
    special = specials.answered()
    special.opening.said = {**special.opening.said, "lower_glass": "25"}
    special.opening.save()
    with pytest.raises(EnquiryError, match="measures have changed"):
        price(special.pk, None, by="ann", is_manager=True)
    assert not QuoteLine.objects.exists()


def test_priced_twice_counts_once():
    """A second press finds it done."""
    specials.set_up()
    special = specials.answered()
    price(special.pk, None, by="ann", is_manager=False)
    with pytest.raises(EnquiryError, match="nothing to price"):
        price(special.pk, BY_HAND, by="bea", is_manager=True, why="more")
    assert QuoteLine.objects.get().unit_price == Decimal("140.00")


def test_the_rule_of_the_day_counts():
    """The family's own rule comes before the one for all, the latest of either before older ones."""
    specials.set_up()
    family = Family.objects.get()
    today = timezone.localdate()
    for owner, days, percent in ((None, 5, 44), (None, -5, 99), (family, 400, 50), (family, 3, 55)):
        MarginRule.objects.create(
            family=owner,
            currency="USD",
            percent=percent,
            in_force_from=today - timedelta(days=days),
        )
    days = [today - timedelta(days=n) for n in (0, 100, 500)]
    assert [margin_on(family, "USD", day).percent for day in days] == [55, 50, 40]
    assert margin_on(family, "EUR", today) is None


def test_refused_the_customer_is_told():
    """It can't be made: one letter, and the special is put aside."""
    specials.set_up()
    special = tell_refused(specials.answered(can_be_made=False, remarks="too tall").pk, by="ann")
    assert special.state == "closed"
    assert "They can't make it" in Letter.objects.get(to="mara@quill.example").body


def test_no_price_is_of_one_something():
    """A liner is sold by the pair: nobody has to guess whether the factory's price, or ours, is for half of it."""
    specials.set_up()
    special = specials.answered()
    page = specials.manager().get(reverse("special", args=[special.pk])).content.decode()
    for words in ("Their price of one pair", "</strong> per pair.", "Price of one pair by hand"):
        assert words in page
    link = factory_address(special.enquiry).removeprefix(settings.SITE_URL)
    assert "Price of one pair" in Client().get(link).content.decode()
