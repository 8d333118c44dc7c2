"""A call that nothing came of is put aside by whoever took it, and taken up again by going on with it."""

import pytest

from quotes.desk.requests import save_request
from quotes.lists.today import calls_to_finish
from quotes.models import Request
from quotes.said import SaidRequest

pytestmark = pytest.mark.django_db


@pytest.fixture
def call(liner):
    return save_request(SaidRequest("Una Brandt"), by="mira")


def test_aside_and_again(call, clerk):
    """The button takes it off the calls to finish, and the other one brings it back."""
    address = f"/requests/{call.pk}/aside/"
    page = clerk.post(address, {"do": "aside"}, follow=True)
    assert "Take it up again" in page.text and not calls_to_finish()
    assert call in clerk.get("/requests/?stands=aside").context["lists"]["requests"].page
    clerk.post(address, {"do": "again"})
    assert list(calls_to_finish()) == [call]


def test_going_on_takes_it_up(call, clerk):
    """Words added to it make it a call to finish again."""
    clerk.post(f"/requests/{call.pk}/aside/", {"do": "aside"})
    save_request(
        SaidRequest("Una Brandt", note="rang again"), by="mira", pk=call.pk, version=call.version
    )
    assert Request.objects.get().aside_at is None
