"""A shop whose calls were looked into column by column finds them as today once it is brought up to date, and back."""

import pytest
from django.core.management import call_command
from django.db import connection

from quotes.desk.erasing import forget_call
from quotes.desk.requests import save_request
from quotes.lists.requests import find_requests
from quotes.models import Request
from quotes.said import SaidOpening, SaidRequest
from quotes.triples import SEARCHED, make_indexes

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.database]

BEFORE = ("caller", "phone", "phone_digits", "email", "note")


def upgraded(monkeypatch) -> None:
    """As the release before left them, with its indexes; then as a new version comes."""
    try:
        call_command("migrate", "quotes", "0030", verbosity=0)
        with monkeypatch.context() as before:
            before.setitem(SEARCHED, Request, BEFORE)
            make_indexes()
    finally:
        call_command("migrate", verbosity=0)


def indexes() -> list[str]:
    """How a call's indexes of triples were made."""
    if connection.vendor == "sqlite":
        asked = "SELECT sql FROM sqlite_master WHERE name LIKE 'quotes_request_triples%'"
    else:
        asked = "SELECT indexdef FROM pg_indexes WHERE indexname LIKE 'quotes_request_%_triples'"
    with connection.cursor() as cursor:
        cursor.execute(asked)
        return [sql for (sql,) in cursor.fetchall() if sql]


def test_calls_of_before_are_found(liner, monkeypatch):
    """More of them than are filled at once; who was erased is found by nothing."""
    monkeypatch.setattr("quotes.desk.requests.home_country", lambda: "US")
    gone = save_request(SaidRequest("Zebulon Quartzbeck"), by="ann")
    assert forget_call(gone.pk, gone.created_at)
    Request.objects.bulk_create([Request(caller=f"Mara {place}") for place in range(1001)])
    windows = tuple(SaidOpening("otter-liner", label=name) for name in ("Küche", "", "Bad"))
    ines = save_request(
        SaidRequest("Inés Robledo", "802 555 0142", note="Café\nmill", openings=windows), by="ann"
    )
    upgraded(monkeypatch)
    for scrap in ("ines robledo", "1 802 555 0142", "cafe", "kuche"):
        assert list(find_requests(scrap)) == [ines], scrap
    kept = ines.scraps
    ines.refresh_from_db()
    gone.refresh_from_db()
    assert (ines.scraps, gone.scraps) == (kept, "")
    assert Request.objects.filter(scraps__startswith="\nmara ").count() == 1001
    assert not find_requests("quartzbeck") and not find_requests("erased")


def test_the_index_follows_the_rows_after_it(monkeypatch):
    """The index is made anew over what is looked into now, and of the one before nothing is left."""
    upgraded(monkeypatch)
    assert [sql for sql in indexes() if "scraps" in sql]
    assert not [sql for sql in indexes() if "phone" in sql]
    call = save_request(SaidRequest("Una Brandt"), by="ann")
    assert list(find_requests("brand")) == [call]
    save_request(SaidRequest("Una Lorne"), by="ann", pk=call.pk, version=call.version)
    assert list(find_requests("lorn")) == [call]
    assert not find_requests("brand")
