"""What is older than the shop keeps it goes by itself: requests never quoted, schedules, words of mails."""

from datetime import timedelta
from io import StringIO

import pytest
from django.contrib.sessions.models import Session
from django.core.management import call_command
from django.utils import timezone

from ordering.events.erasing import forget_old
from ordering.models import Notice
from ordering.sending import sweep
from ordering.verifying import findings
from quotes.desk import posting
from quotes.models import Letter, Request, Schedule, Shop
from tests.access.shop import schedule
from tests.ordering.erasable import customer
from tests.quotes.shop import part_opening, take_request

pytestmark = pytest.mark.usefixtures("built")


def build():
    customer()
    sweep(), posting.sweep()
    take_request(part_opening(), caller="Ida Lorne", email="ida@lorne.example")
    schedule()


def counts() -> tuple[int, ...]:
    told = Notice.objects.exclude(body="").count(), Letter.objects.exclude(body="").count()
    return Request.objects.count(), Schedule.objects.count(), *told


def later(months: int):
    return forget_old(timezone.now() + timedelta(days=31 * months))


def test_young_words_stay():
    """Within the shop's months nothing goes."""
    before = counts()
    later(23)
    assert counts() == before


def test_old_words_go():
    """After them requests never quoted and schedules are gone, mails keep date and subject only."""
    later(25)
    assert counts() == (2, 0, 0, 0), "the quoted request and the one a factory was asked about stay"
    assert not Request.objects.filter(caller="Ida Lorne").exists()
    assert set(Request.objects.filter(quotes=None).values_list("caller", flat=True)) == {
        "Erased customer"
    }
    assert Letter.objects.exclude(subject="").exists()


def test_quoted_requests_stay():
    """What became a quote stays whole; the books agree."""
    later(25)
    assert Request.objects.exclude(quotes=None).get().caller == "Zebulon Quartzbeck"
    assert list(findings()) == []


def test_never_where_the_shop_says_so():
    """A shop that keeps everything keeps everything."""
    Shop.objects.update(keep_months=None)
    before = counts()
    later(2400)
    assert counts() == before


def test_again_nothing():
    """A second run finds nothing more to erase."""
    later(25)
    assert set(later(25).values()) == {0}


def test_sessions_that_are_over():
    """Sessions long over go, with what was typed in them."""
    Session.objects.create(session_key="x" * 32, expire_date=timezone.now() - timedelta(days=2))
    forget_old()
    assert not Session.objects.filter(session_key="x" * 32).exists()


def test_command():
    """The command says how many of what."""
    out = StringIO()
    call_command("erase_old", stdout=out)
    assert "requests 0, schedules 0, letters 0, notices 0" in out.getvalue()


def test_default():
    """A new shop keeps words for 24 months."""
    assert Shop._meta.get_field("keep_months").default == 24
