"""manage.py demo loads nothing into a database that is somebody's."""

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError

from quotes.models import Request, Shop
from sizing.models import Family
from tests.ordering.test_demo import demo


def test_database_in_use_is_left_alone(db):
    """A database with people of its own is refused, and nothing is added to it."""
    User.objects.create_user("hanna")
    with pytest.raises(CommandError, match="give the demo one of its own") as refused:
        demo()
    assert refused.value.returncode == 2
    assert not Request.objects.exists()


def test_a_shop_whose_owner_is_called_owner(db):
    """The names to sign in with tell nothing: whose shop it is does."""
    User.objects.create_user("owner")
    Shop.objects.create(pk=Shop.ONLY, name="Elmbank Sash")
    with pytest.raises(CommandError, match="in use by Elmbank Sash: give the demo one of its own"):
        demo()
    assert not Request.objects.exists() and not Family.objects.exists()
