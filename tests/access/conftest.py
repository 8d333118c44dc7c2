"""One shop for a whole test file: built once, every test's changes to it rolled back."""

import pytest
from django.db import transaction

from tests.access import shop


class _Done(Exception):
    """Ends the transaction that the shop was built in."""


@pytest.fixture(scope="module")
def built(django_db_setup, django_db_blocker):
    """(people by role, arguments of each address)."""
    with django_db_blocker.unblock():
        try:
            with transaction.atomic():
                people = shop.people()
                yield people, shop.arguments()
                raise _Done
        except _Done:
            pass
