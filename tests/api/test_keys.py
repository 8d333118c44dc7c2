"""A call needs the key of a program that is switched on; a program sees what it has made itself."""

import pytest
from django.test import Client

from quotes.desk.integrations import switch_off
from tests.api.conftest import Program
from tests.quotes.shop import take_request

pytestmark = pytest.mark.django_db

ASKED = {"family": "otter-liner", "openings": [{"measures": {"opening": "47 7/8"}}]}
LEFT = {
    "key": "cart-000412",
    "caller": "Ines Calloway",
    "openings": [{"family": "otter-liner", "measures": {"opening": "47 7/8"}}],
}


@pytest.mark.parametrize("header", ["", "Bearer ", "Bearer no-such-key", "Basic aWRhOnBlbg=="])
def test_no_key(web_shop, header):
    """Without the key nothing is answered, and the answer says what to send."""
    response = web_shop.call("POST", "/resolve", ASKED, HTTP_AUTHORIZATION=header)
    assert response.status_code == 401
    assert response["WWW-Authenticate"] == "Bearer"
    assert "Authorization: Bearer" in response.json()["error"]


def test_sign_in_is_no_key(web_shop, django_user_model):
    """Being signed in at the desk does not open the API."""
    client = Client()
    client.force_login(django_user_model.objects.create_superuser("ida"))
    assert client.post("/api/resolve", ASKED, content_type="application/json").status_code == 401


def test_switched_off(web_shop):
    """A key that is switched off opens nothing from that moment on."""
    assert web_shop.post("/resolve", ASKED).status_code == 200
    switch_off(web_shop.integration.pk)
    assert web_shop.post("/resolve", ASKED).status_code == 401


@pytest.mark.parametrize(
    ("method", "path"),
    [("GET", "/requests/{n}"), ("POST", "/requests/{n}/quote")],
)
def test_only_its_own(web_shop, till, method, path):
    """What another program or the desk has taken is not there for this one."""
    theirs = till.post("/requests", LEFT).json()["number"]
    desks = take_request().pk
    for number in (theirs, desks):
        assert web_shop.call(method, path.format(n=number)).status_code == 404
    assert till.call("GET", f"/requests/{theirs}").status_code == 200


def test_same_key_of_another_program(web_shop, till):
    """Two programs may use the same key for their requests."""
    one, other = (p.post("/requests", LEFT).json()["number"] for p in (web_shop, till))
    assert one != other


def test_too_many_calls(tables, monkeypatch):
    """Past its calls a minute a program is told to wait, another one is not."""
    from config.api.calls import api

    slow, other = Program("slow"), Program("other")
    (limit,) = api.throttle
    monkeypatch.setattr(limit, "num_requests", 3)
    answers = [slow.post("/resolve", ASKED) for _ in range(4)]
    assert [a.status_code for a in answers] == [200, 200, 200, 429]
    assert int(answers[-1]["Retry-After"]) > 0
    assert other.post("/resolve", ASKED).status_code == 200
