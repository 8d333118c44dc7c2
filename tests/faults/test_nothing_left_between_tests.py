"""A test that is no transaction of its own leaves the next one a database as `migrate` made it."""

import pytest
from django.apps import apps
from django.contrib.auth.models import Permission
from django.db import IntegrityError

from quotes.models import Request
from tests.conftest import MIGRATED, emptied
from tests.quotes import shop

pytestmark = pytest.mark.django_db(transaction=True)


def held() -> set[str]:
    """Names of the tables that hold rows."""
    models = apps.get_models(include_auto_created=True)
    return {model._meta.db_table for model in models if model._default_manager.exists()}


def test_no_row_is_left():
    """Not of a whole shop; what belongs to the models themselves stays."""
    shop.set_up()
    shop.issued_quote(caller="Ida Lorne")
    permissions = Permission.objects.count()
    assert len(held()) > 20
    emptied()
    assert held() == MIGRATED
    assert Permission.objects.count() == permissions > 100


def test_keys_are_looked_after_again():
    """Rows that point to nothing are refused as ever."""
    emptied()
    with pytest.raises(IntegrityError):
        Request(caller="Ida Lorne", customer_id=4711).save()
