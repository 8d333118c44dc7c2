"""On the public page anybody checks measures and sends them; they arrive as a request of the desk."""

import re

import pytest
from django.core.cache import cache
from django.test import Client

from quotes.models import Request

pytestmark = pytest.mark.django_db

PAGE = "/measure/otter-liner/"
TYPED = {
    "m-upper_glass": "20 1/4",
    "m-lower_glass": "20 5/16",
    "m-opening": "3' 11 7/8\"",
    "m-sash_weight": "12 lb",
    "finish": "slate",
    "quantity": "2",
    "label": "back kitchen",
    "caller": "Ines Calloway",
    "phone": "802 555 0117",
    "email": "ines@calloway.example",
    "note": "Both are painted.",
}


@pytest.fixture(autouse=True)
def visitor(liner):
    cache.clear()
    # A browser without any cookie, as strict about forged forms as the real one.
    return Client(enforce_csrf_checks=True)


def post(visitor, do="send", **typed):
    return visitor.post(PAGE, TYPED | typed | {"do": do})


def test_arrives_as_a_request(visitor):
    """Sent measures are a request with the caller, the words as typed and the desk's answer."""
    assert post(visitor)["Location"] == PAGE + "sent/"
    request = Request.objects.get()
    assert (request.caller, request.phone, request.email) == (
        "Ines Calloway", "802 555 0117", "ines@calloway.example",
    )  # fmt: skip
    assert request.taken_by == "the measuring page"
    assert "Both are painted." in request.note
    (opening,) = request.openings.all()
    assert opening.said["opening"] == "3' 11 7/8\""
    assert (opening.label, opening.finish, opening.quantity) == ("back kitchen", "slate", 2)
    assert opening.answer["outcome"] == "part"
    assert b"are with" in visitor.get(PAGE + "sent/").content


def test_check_stores_nothing(visitor):
    """Checking writes nothing, shows what was found and keeps what was typed."""
    page = post(visitor, "check", **{"m-opening": "44"}).content.decode()
    assert not Request.objects.exists()
    assert "Your opening height doesn&#x27;t agree with the rest" in page
    assert 'value="44"' in page and 'value="Ines Calloway"' in page


def test_no_part_number_and_no_price(visitor, liner):
    """The public page shows neither part numbers nor prices."""
    page = post(visitor, "check").content.decode()
    numbers = liner.parts.exclude(part_number="").values_list("part_number", flat=True)
    assert "Your measures agree" in page
    assert [n for n in numbers if n in page] == []
    assert "USD" not in page and "$" not in page


BAD = [
    ({"m-opening": "2-6"}, "m-opening", "can be read as"),
    ({"email": "ines at home"}, "email", "no e-mail address"),
    ({"caller": ""}, "caller", "Type your name"),
    ({"phone": "", "email": ""}, "phone", "Type a phone number or an e-mail"),
    ({"quantity": "many"}, "quantity", "no whole number"),
    ({"finish": "gold"}, "finish", "Finish: there is no such choice"),
    ({f"m-{c}": "" for c in ("upper_glass", "lower_glass", "opening", "sash_weight")},
     "m-upper_glass", "Type at least one measure"),
]  # fmt: skip


@pytest.mark.parametrize(("typed", "field", "sentence"), BAD)
def test_refused_and_nothing_lost(visitor, typed, field, sentence):
    """What is wrong is said at the top with a link to its box; nothing is sent, nothing typed is lost."""
    response = post(visitor, **typed)
    page = response.content.decode()
    assert response.status_code == 422
    assert re.search(rf'href="#id_{field}">[^<]*{re.escape(sentence)}', page)
    assert "Both are painted." in page
    assert not Request.objects.exists()


def test_sent_twice_is_one(visitor):
    """The same page sent twice makes one request; changed and sent again it is another window."""
    page = re.search(r'name="page" value="([^"]+)"', visitor.get(PAGE).content.decode()).group(1)
    post(visitor, page=page)
    post(visitor, page=page)
    assert Request.objects.count() == 1
    post(visitor, page=page, label="front kitchen")
    assert Request.objects.count() == 2


def test_unknown_family(visitor):
    """A family without a table in force has no page."""
    assert visitor.get("/measure/nothing/").status_code == 404


def test_text_is_shown_as_text(visitor):
    """What a stranger types is never markup, here or at the desk."""
    bad = '"><script>alert(1)</script>'
    assert "<script>alert" not in post(visitor, "check", label=bad).content.decode()
