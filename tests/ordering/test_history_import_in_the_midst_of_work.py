"""A long past is taken in while the desk works: nobody waits for all of it, and what breaks off is finished by
taking it in again."""

import threading
from datetime import date

import pytest
from django.db import connection

from ordering import past
from ordering.fits import stamp_of
from ordering.history import Line
from ordering.models import PastOrder
from quotes.models import Customer
from sizing.models import Factory, Family
from tests.ordering.past_of_a_mill import mill

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def shop(monkeypatch):
    monkeypatch.setattr(past, "BLOCK", 10)
    mill(ROVE=(4, 8))


def lines(meanwhile=lambda: None):
    """Three blocks of past orders, with what happens once the first two are stored."""
    family = Family.objects.get(code="ROVE").pk
    for number in range(30):
        if number == 20:
            meanwhile()
        yield Line(f"K-{number}", family, "RV-20", 3, date(2026, 1, 5), None, None)


def test_somebody_writes_meanwhile():
    wrote = []

    def write():
        try:
            wrote.append(Customer.objects.create(name="Mara Quill").pk)
        finally:
            connection.close()

    def meanwhile():
        writer = threading.Thread(target=write)
        writer.start()
        writer.join(3)
        assert wrote, "whoever writes waits for the whole import"

    assert past.store(lines(meanwhile)) == past.Stored(30, 30, 0)


def test_broken_off_it_is_finished_by_the_same_file():
    """What was stored is told from what is new, none of it is there twice, and no fit of before counts."""
    before = stamp_of(Factory.objects.get())

    def breaks():
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        past.store(lines(breaks))
    assert PastOrder.objects.count() == 20
    assert stamp_of(Factory.objects.get()) != before
    assert past.store(lines()) == past.Stored(30, 10, 0)
    assert PastOrder.objects.count() == 30


def test_until_the_end_the_fits_of_before_count():
    """Nobody is answered from a part of a past: what was learned before it stands until all of it is there."""
    factory = Factory.objects.get()
    stamps = [stamp_of(factory)]
    past.store(lines(lambda: stamps.append(stamp_of(factory))))
    assert stamps[0] == stamps[1] != stamp_of(factory)
