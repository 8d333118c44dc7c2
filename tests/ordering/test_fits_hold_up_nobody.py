"""Working out what a factory's past says takes seconds in a large shop: nobody waits for it to write."""

import threading
from uuid import uuid4

import pytest
from django.db import connection
from django.utils import timezone

from ordering import expected, fits
from ordering.events import (
    ErasingError,
    PlacingError,
    erase_customer,
    place_from_quote,
    send_to_factories,
    watch,
)
from ordering.expected import forget
from ordering.fits import fit_the_stale
from ordering.models import LeadTimeFit, Order, OrderLine
from quotes.models import Customer
from tests.ordering.placed import CLERK, accepted_quote, load_shop, placed_order

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def shop() -> None:
    load_shop()


def without_fits() -> None:
    LeadTimeFit.objects.all().delete()
    forget()


class Another:
    """A second connection, which writes while a past is read: to the customer whose order it is, and to the order."""

    def __init__(self, learn) -> None:
        self.learn, self.written = learn, []

    def __call__(self, factory, day):
        writer = threading.Thread(target=self.write)
        writer.start()
        # On PostgreSQL it would wait for whoever holds the order, who waits here.
        writer.join(3)
        self.written.append(not writer.is_alive() and self.wrote)
        return self.learn(factory, day)

    def write(self) -> None:
        self.wrote = False
        try:
            Order.objects.update(note="rings back")
            Customer.objects.update(note="rings back")
            self.wrote = True
        finally:
            connection.close()


def send(order_pk: int) -> None:
    send_to_factories(
        list(OrderLine.objects.filter(order=order_pk).values_list("pk", flat=True)), CLERK
    )


@pytest.fixture
def another(monkeypatch):
    made = Another(fits.read_and_learn)
    monkeypatch.setattr(fits, "read_and_learn", made)
    return made


def test_who_places_an_order(shop, another):
    """The window that the customer is told is worked out from a fit that is missing."""
    quote = accepted_quote()
    without_fits()
    order = place_from_quote(quote.pk, CLERK)
    assert another.written == [True]
    assert order.lines.get().told.count() == 1
    assert fit_the_stale(timezone.localdate()) == 0


@pytest.mark.parametrize("act", [send, watch])
def test_who_writes_to_one(shop, another, act):
    """Sent to its factory, or looked at by the worker, which finds what a line needs."""
    order = placed_order()
    without_fits()
    del another.written[:]
    act(order.pk)
    assert another.written == [True]


class Meanwhile:
    """Somebody else's act, done while the past is read."""

    def __init__(self, learn, act) -> None:
        self.learn, self.act, self.came = learn, act, None

    def __call__(self, factory, day):
        if self.came is None:
            self.came = False
            writer = threading.Thread(target=self.do)
            writer.start()
            writer.join(30)
        return self.learn(factory, day)

    def do(self) -> None:
        try:
            self.came = self.act()
        finally:
            connection.close()


def test_who_is_erased_meanwhile_gets_no_order(shop, settings, tmp_path, monkeypatch):
    """What was looked at before the fit is looked at again after it."""
    settings.VAR_DIR = tmp_path
    quote = accepted_quote()
    without_fits()
    erasing = Meanwhile(fits.read_and_learn, lambda: erase_customer(quote.customer_id, "max"))
    monkeypatch.setattr(fits, "read_and_learn", erasing)
    with pytest.raises(PlacingError, match="has been erased"):
        place_from_quote(quote.pk, CLERK)
    assert erasing.came and not Order.objects.exists()
    assert Customer.objects.get(pk=quote.customer_id).name == "Erased customer"


def test_two_clerks_place_one_order(shop, settings, tmp_path, monkeypatch):
    """The other places it during the fit: it is the same order for both, and who was erasing finds it."""
    settings.VAR_DIR = tmp_path
    quote = accepted_quote()
    without_fits()
    other = Meanwhile(fits.read_and_learn, lambda: place_from_quote(quote.pk, CLERK))
    monkeypatch.setattr(fits, "read_and_learn", other)
    assert place_from_quote(quote.pk, CLERK) == other.came == Order.objects.get()
    assert Order.objects.get().events.count() == 1
    with pytest.raises(ErasingError, match="still open"):
        erase_customer(quote.customer_id, "max")


def test_stale_again_at_once(shop, monkeypatch):
    """In a shop so busy that a fit is stale as soon as it is stored, the act is written all the same."""
    quote = accepted_quote()
    without_fits()
    monkeypatch.setattr(fits, "stamp_of", lambda factory: uuid4().hex)
    monkeypatch.setattr(expected, "KEEP_SECONDS", -1)
    assert place_from_quote(quote.pk, CLERK).lines.get().told.count() == 1
