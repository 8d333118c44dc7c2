import pytest
from django.core.management import call_command
from django.utils import timezone

from ordering import fits
from ordering.answers import lead_times
from tests.ordering.past_of_a_mill import mill, past
from tests.ordering.test_stored_fit import import_one


@pytest.mark.django_db(transaction=True)
def test_the_worker_renews_a_stale_fit(monkeypatch, tmp_path):
    """After an import that published nothing the worker fits anew, and the next question finds it."""
    factory = mill(ROVE=(4, 8))
    past("ROVE", 20, days=20)
    call_command("work", once=True)
    import_one(tmp_path)
    call_command("work", once=True)
    monkeypatch.delattr(fits, "read_and_learn")
    lead_times(factory, timezone.localdate())
