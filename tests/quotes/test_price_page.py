"""The manager keeps dated prices on a page."""

import datetime
import re

import pytest
from django.contrib.auth.models import Group, User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from quotes.days import short_date
from quotes.desk.shop import keep_shop
from quotes.models import FreightStep, QuantityBreak, TaxRate, Terms

pytestmark = pytest.mark.django_db
DAY = "2026-03-01"


@pytest.fixture
def manager():
    client = Client()
    user = User.objects.create_user("oswin")
    user.groups.add(Group.objects.get_or_create(name="manager")[0])
    client.force_login(user)
    return client


def add(client, kind, **fields):
    data = {"kind": kind, f"{kind}-in_force_from": DAY}
    data |= {f"{kind}-{name}": text for name, text in fields.items()}
    return client.post(reverse("prices"), data)


def test_a_freight_list_is_typed_one_step_a_line(manager):
    """Lengths and weights as they are said, no limit as a dash, each line a step of one list."""
    steps = "48 in; 100 in; 40 lb; 9.00\n2.4 m; -; 18 kg; 17.50"
    add(manager, "freight", carrier="cart", currency="usd", unit="in", steps=steps)
    stored = list(
        FreightStep.objects.order_by("price").values_list("length", "length_and_girth", "weight")
    )
    assert stored == [
        (48 * 8128, 100 * 8128, 40 * 453_592_370_000),
        (2400 * 320, None, 18_000_000_000_000),
    ]
    assert "2.4 m" not in manager.get(reverse("prices")).content.decode()


@pytest.mark.parametrize(
    ("steps", "words"),
    [
        ("48; 100; 40", "Line 1 is not 4 things"),
        ("48; 100; 40; 9\n2-6; -; -; 4", "Line 2: "),
        ("48; 100; heavy; 9", "Line 1: "),
        ("48; 100; 40; nine", "“nine” is no number"),
        ("48; 100; 40; -1", "does not fit"),
        ("48; 100; 40; NaN", "does not fit"),
    ],
)
def test_a_bad_line_is_named_and_nothing_stored(manager, steps, words):
    """The sentence names the line; the box keeps what was typed; no step of the list is stored."""
    page = add(manager, "freight", carrier="cart", currency="USD", unit="in", steps=steps)
    assert page.status_code == 422
    assert words in page.content.decode()
    assert "cart" in page.content.decode()
    assert not FreightStep.objects.exists()


def test_terms_breaks_and_tax_are_added(manager):
    """One form each; the page lists what is there."""
    add(manager, "terms", name="trade", discount_percent="7.5", deposit_percent="40", net_days="30")
    add(manager, "breaks", family="", steps="6; 2.5 %\n20; 5")
    add(manager, "tax", name="state", country="US", region="vt", town="", percent="6.125")
    assert Terms.objects.get().discount_percent == 7.5
    assert list(QuantityBreak.objects.values_list("from_quantity", flat=True)) == [6, 20]
    assert (TaxRate.objects.get().country, TaxRate.objects.get().region) == ("US", "VT")
    page = manager.get(reverse("prices")).content.decode()
    for words in ("7.5 %", "2.5 %", "6.125 %"):
        assert words in page


def test_a_quantity_that_stands_twice_is_refused(manager):
    """Nobody could tell which of the two percentages a quote would get."""
    page = add(manager, "breaks", family="", steps="6; 2.5\n20; 5\n6; 3")
    assert page.status_code == 422 and "From 6 stands twice: keep one of the two." in page.text
    assert not QuantityBreak.objects.exists()


def test_a_second_list_of_one_day_is_refused(manager):
    """One carrier has one list a day."""
    for _ in range(2):
        page = add(
            manager, "freight", carrier="cart", currency="USD", unit="in", steps="-; -; -; 9"
        )
    assert "has a list from 1 Mar 2026 already" in page.content.decode()
    assert FreightStep.objects.count() == 1


def test_the_same_terms_twice_are_told_in_the_trade_s_words(manager):
    """What is there already from that day, and a box left empty by its label: not that "this field" lacks something."""
    said = {"name": "trade", "discount_percent": "7.5", "deposit_percent": "", "net_days": "30"}
    page = add(manager, "terms", **said).text
    assert "To pay on accepting, %: type it, it can&#x27;t stay empty." in page
    for _ in range(2):
        page = add(manager, "terms", **said | {"deposit_percent": "40"}).text
    assert "There is one like that from that day on already" in page
    assert Terms.objects.count() == 1


def test_what_was_in_force_stays(manager):
    """What counts since before today cannot be taken back; what counts from today or later can."""
    today = timezone.localdate()
    since, now, later = (
        TaxRate.objects.create(
            name="state", country="US", percent=5, in_force_from=today + datetime.timedelta(days)
        )
        for days in (-1, 0, 1)
    )
    page = manager.get(reverse("prices")).content.decode()
    for row in (since, now, later):
        address = reverse("price-back", args=["tax", row.pk])
        assert (f'action="{address}"' in page) == (row != since)
        said = manager.post(address, follow=True).content.decode()
        refused = f"has been in force since {short_date(row.in_force_from)}: add newer"
        assert (refused in said) == (row == since)
    assert list(TaxRate.objects.all()) == [since]


@pytest.mark.parametrize(
    ("kind", "model", "steps"),
    [
        ("freight", FreightStep, "48; -; -; 9\n96; -; -; 17\n-; -; -; 40"),
        ("breaks", QuantityBreak, "6; 2\n20; 5\n50; 9"),
    ],
)
def test_a_list_is_taken_back_whole(manager, kind, model, steps):
    """One button for the list, whichever line it stands at; other days and carriers stay."""
    today, later = (timezone.localdate() + datetime.timedelta(n) for n in (0, 1))
    said = {"currency": "USD", "unit": "in", "steps": steps, "family": ""}
    for day, carrier in ((today, "cart"), (later, "cart"), (today, "barge")):
        add(manager, kind, carrier=carrier, in_force_from=day.isoformat(), **said)
    lists = 3 if kind == "freight" else 2
    assert model.objects.count() == 3 * lists
    page = manager.get(reverse("prices")).content.decode()
    assert page.count("Take back this list") == lists
    middle = model.objects.filter(in_force_from=later)[1]
    page = manager.post(reverse("price-back", args=[kind, middle.pk]), follow=True)
    assert f"from {short_date(later)}, all 3 lines of the list" in page.content.decode()
    assert not model.objects.filter(in_force_from=later).exists()
    assert model.objects.filter(in_force_from=today).count() == 3 * (lists - 1)


def test_lists_in_two_currencies_are_two_lists(manager):
    """Each stands together with one button, and goes without the other."""
    today = timezone.localdate().isoformat()
    for currency, steps in (
        ("USD", "48; -; -; 9\n96; -; -; 17"),
        ("CAD", "48; -; -; 12\n96; -; -; 23"),
    ):
        add(
            manager, "freight", carrier="cart", currency=currency, unit="in", steps=steps,
            in_force_from=today,
        )  # fmt: skip
    page = manager.get(reverse("prices")).content.decode()
    assert page.count("Take back this list") == 2
    manager.post(reverse("price-back", args=["freight", FreightStep.objects.first().pk]))
    left = FreightStep.objects.values_list("price_currency", flat=True)
    assert len(left) == 2 and len(set(left)) == 1


def test_a_wrong_number_is_mended_on_its_day(manager):
    """60 % typed for 6 %: the second rate of the day says to take the first back, and then goes in."""
    said = {"name": "state", "country": "US", "region": "vt", "town": ""}
    day = {"in_force_from": timezone.localdate().isoformat()}
    add(manager, "tax", percent="60", **said, **day)
    page = add(manager, "tax", percent="6", **said, **day)
    assert "take it back or choose another day" in page.content.decode()
    manager.post(reverse("price-back", args=["tax", TaxRate.objects.get().pk]))
    add(manager, "tax", percent="6", **said, **day)
    assert TaxRate.objects.get().percent == 6


@pytest.mark.parametrize("typed", ["vt", "Vermont", " VERMONT "])
def test_a_state_by_name_or_letters(manager, typed):
    """Both come to the letters by which an address is found; no box cuts a name short."""
    add(manager, "tax", name="state", country="US", region=typed, town="", percent="6")
    assert TaxRate.objects.get().region == "VT"
    box = re.search(r'<input[^>]*name="tax-region"[^>]*>', manager.get("/prices/").content.decode())
    assert 'maxlength="60"' in box[0]


def test_a_place_that_is_none_is_refused(manager):
    """A rate for a state that is not there would tax nothing and never say so."""
    page = add(manager, "tax", name="state", country="US", region="PEN", town="", percent="6")
    assert page.status_code == 422
    assert "“PEN” is no part of US; there are AK, AL" in page.content.decode()
    assert not TaxRate.objects.exists()


def test_forms_begin_with_the_shops_own(manager):
    """Country, currency and unit of the shop stand in the blank forms."""
    keep_shop({"country": "CA", "currency": "CAD", "unit": "mm"})
    page = manager.get(reverse("prices")).content.decode()
    assert '<option value="CA" selected>Canada' in page
    assert '<option value="mm" selected>' in page
    assert len(re.findall(r'name="(?:freight|margins)-currency" value="CAD"', page)) == 2


def test_the_counter_does_not_change_prices(clerk):
    """Prices are the manager's."""
    assert clerk.get(reverse("prices")).status_code == 403


@pytest.mark.parametrize(
    ("kind", "said", "example"),
    [
        ("breaks", {"family": "", "steps": "6, 3 %"}, "6; 2.5"),
        ("freight", {"carrier": "cart", "currency": "USD", "unit": "in", "steps": "48, 90, 55, 12.50"}, "48; 90; 55; 12.50"),
    ],
)  # fmt: skip
def test_commas_get_an_example(manager, kind, said, example):
    """Who parts a line with commas reads how it is typed; the example stands under the box, too, and is taken."""
    page = add(manager, kind, **said).text
    assert "with a semicolon between each two" in page and f", such as {example}." in page
    assert f"Such as {example}" in manager.get(reverse("prices")).text
    assert add(manager, kind, **{**said, "steps": example}).status_code == 302
