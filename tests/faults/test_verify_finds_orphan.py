"""`manage.py verify` finds a row whose owner is gone. By itself: no transaction is around it, so the database is emptied after it."""

import pytest
from django.db import IntegrityError, connection

from ordering.models import OrderLine
from tests.faults.busy_shop import busy_shop
from tests.faults.test_verify_finds import verify


def drop_line(key: int) -> None:
    """Delete a line that others point to, as a broken disk or a hand in the database would."""
    with connection.constraint_checks_disabled(), connection.cursor() as cursor:
        cursor.execute("DELETE FROM ordering_orderline WHERE id = %s", [key])


@pytest.mark.django_db(transaction=True)
def test_orphan_is_found():
    """A row whose owner is gone is told with both; a database that watches lets none be orphaned."""
    busy_shop()
    gone = OrderLine.objects.order_by("pk").first()
    if connection.vendor == "postgresql":
        with pytest.raises(IntegrityError):
            drop_line(gone.pk)
        return
    drop_line(gone.pk)
    status, lines = verify()
    assert status == 1
    assert any(f"the order line {gone.pk}, which is not there" in line for line in lines), lines
