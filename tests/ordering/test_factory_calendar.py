"""A manager writes down when a factory is shut and what it is short of, and the answers count with it."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from ordering.answers import When
from ordering.models import Shortage, Shutdown
from quotes.days import short_date
from sizing.models import Factory
from tests.ordering.past_of_a_mill import mill
from tests.ordering.placed import user

pytestmark = pytest.mark.django_db
TODAY = timezone.localdate


@pytest.fixture
def factory() -> Factory:
    return mill(ROVE=(4, 8))


@pytest.fixture
def write(client, factory):
    client.force_login(user("max", "manager"))
    address = reverse("factory-calendar", args=[factory.pk])
    return lambda **said: client.post(address, said, follow=True)


def day(ahead: int) -> str:
    return (TODAY() + timedelta(ahead)).isoformat()


def latest():
    return When(TODAY()).of_part("ROVE", "", TODAY()).latest


def test_shut_weeks_move_the_answer(write):
    """Two weeks shut put two weeks on top of what is answered."""
    before = latest()
    assert write(do="shut", first=day(7), last=day(20)).status_code == 200
    assert latest() >= before + timedelta(days=10)


def test_one_day_shut(write, factory):
    """A last day left empty means one day."""
    write(do="shut", first=day(7), note="roof")
    shutdown = factory.shutdowns.get()
    assert (shutdown.first_day, shutdown.note) == (shutdown.last_day, "roof")


def test_a_shortage_moves_the_answer(write):
    """An order of what the factory is short of starts on the day said, and the answer says so."""
    before = latest()
    write(do="short", until=day(30), family="ROVE", reason="no ash")
    window = When(TODAY()).of_part("ROVE", "", TODAY())
    assert window.latest >= before + timedelta(days=28)
    assert "(no ash)" in window.basis
    assert Shortage.objects.get().said_by == "max"


def test_a_shortage_said_again_replaces(write):
    """A new day for the same family takes the place of the old one."""
    write(do="short", until=day(30), family="ROVE")
    write(do="short", until=day(40), family="ROVE")
    assert Shortage.objects.get().until.isoformat() == day(40)


def test_taken_out(write, factory):
    """Both kinds can be taken out; the answer is as it was."""
    before = latest()
    write(do="shut", first=day(7), last=day(20))
    write(do="short", until=day(30))
    write(open=Shutdown.objects.get().pk)
    write(supplied=Shortage.objects.get().pk)
    assert latest() == before


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"do": "shut"}, "The first day shut is missing; give a date."),
        ({"do": "shut", "first": "soon"}, "“soon” is no day"),
        ({"do": "shut", "first": day(9), "last": day(8)}, "is before the first"),
        ({"do": "shut", "first": day(9), "last": day(400)}, "more than 120 days"),
        ({"do": "shut", "first": day(2000)}, "more than three years away"),
        ({"do": "short"}, "from which it can be made again is missing"),
        ({"do": "short", "until": day(0)}, "give one that is ahead"),
        ({"do": "short", "until": day(9), "family": "TARN"}, "makes no family “TARN”"),
        ({"do": "short", "until": day(9), "finish": "teal"}, "has no finish “teal”"),
    ],
)
def test_refused_with_one_sentence(write, said, sentence):
    """What can't be is refused, nothing is written, and what was typed stays in its field."""
    page = write(**said, note="typed note", reason="typed reason")
    assert page.status_code == 422
    assert sentence in page.content.decode()
    assert "typed note" in page.content.decode()
    assert not Shutdown.objects.exists()
    assert not Shortage.objects.exists()


def test_days_shut_already(write):
    """Days that touch a shutdown written down before are refused, and the sentence names it."""
    write(do="shut", first=day(7), last=day(20))
    page = write(do="shut", first=day(20), last=day(25))
    first, last = (short_date(TODAY() + timedelta(ahead)) for ahead in (7, 20))
    assert f"{first} to {last} is written down already" in page.content.decode()
    assert Shutdown.objects.count() == 1


def test_another_factory_s_days_stay(write):
    """A shutdown of another factory can't be taken out from here."""
    other = Factory.objects.create(name="Other Mill")
    theirs = Shutdown.objects.create(factory=other, first_day=day(3), last_day=day(4))
    write(open=theirs.pk)
    assert Shutdown.objects.filter(pk=theirs.pk).exists()
