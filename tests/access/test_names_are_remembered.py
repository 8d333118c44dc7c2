"""What every page shows beside the matter is asked of the database once a minute, and never shown when it is wrong."""

import pytest
from django.contrib.auth.models import User

from quotes.lists.shop import for_pages
from quotes.models import Shop
from sizing.people import name_of, signed
from sizing.remembered import remembered

pytestmark = pytest.mark.django_db


@pytest.fixture
def ines():
    return User.objects.create(username="ines", first_name="Ines", last_name="Roth")


def test_asked_once(ines, django_assert_num_queries):
    """However many rows say who took them, names are read once."""
    with django_assert_num_queries(1):
        assert name_of("ines") == "Ines Roth"
        assert name_of("nobody") == "nobody"


def test_a_new_name_is_shown_at_once(ines):
    """Whoever writes down a new name reads it on the next page."""
    name_of("ines")
    ines.last_name = "Roth-Adler"
    ines.save()
    assert name_of("ines") == "Ines Roth-Adler"


def test_a_row_of_somebody_gone_keeps_the_sign_in_name(ines):
    class Row:
        taken_by = "gone"

    assert signed([Row()])[0].by == "gone"


def test_the_shop_is_shown_with_its_new_name():
    shop = Shop.objects.create(pk=Shop.ONLY, name="Harrow Lane Parts")
    assert str(for_pages(None)["shop"].name) == "Harrow Lane Parts"
    shop.name = "Harrow Lane Sash Parts"
    shop.save()
    assert for_pages(None)["shop"].name == "Harrow Lane Sash Parts"


def test_other_processes_changes_are_seen_a_minute_later(ines, monkeypatch):
    """A change that this process was not told of shows when the minute is over."""
    now = [0.0]
    monkeypatch.setattr("sizing.remembered.monotonic", lambda: now[0])
    read = remembered(User)(lambda: User.objects.get(username="ines").last_name)
    assert read() == "Roth"
    User.objects.filter(username="ines").update(last_name="Adler")
    now[0] = 59.9
    assert read() == "Roth"
    now[0] = 60.0
    assert read() == "Adler"
