"""manage.py demo: the invented shop, its five worked requests, quotes and enquiries in every state."""

import json
import uuid
from io import StringIO

import pytest
from django.contrib.auth.models import User
from django.core.management import call_command

from ordering.management.commands.demo import FIXTURES, NAMES
from ordering.models import Order, PastOrder
from quotes.desk.requests import save_request
from quotes.lists.requests import said_of
from quotes.models import Enquiry, Issue, Opening, Request

pytestmark = pytest.mark.usefixtures("built")


def build() -> str:
    """What the demo printed when it was loaded."""
    return demo()


def demo() -> str:
    out = StringIO()
    call_command("demo", stdout=out)
    return out.getvalue()


def worked_requests() -> list[Request]:
    """The five of them, in the order in which they are printed."""
    titles = [worked["title"] for worked in json.loads((FIXTURES / "requests.json").read_text())]
    return [Request.objects.get(page=uuid.uuid5(NAMES, title)) for title in titles]


def test_five_kinds_of_answer(built):
    """A part, a slip found, backwards from the old part, a cottage split, one question; all printed."""
    openings = [request.openings.get() for request in worked_requests()]
    answers = [opening.answer for opening in openings]
    assert [a["outcome"] for a in answers] == ["part", "part", "part", "special", "ask"]
    assert "only the visible glass is measured" in answers[1]["text"]
    assert "long_point" in openings[2].said
    assert (answers[3]["reason"], answers[4]["ask"]) == ("unequal_split", "sash_height")
    assert built.count("   caller  ") == built.count("   desk    ") == 5
    assert all(f"Part {a['part_number']}" in built for a in answers[:3])


def test_run_again_it_is_the_same_demo(client):
    """A second run adds nothing and leaves what somebody went on with; its passwords are the ones that work."""
    first = next(iter(worked_requests()))
    said = said_of(first)
    other = type(said)(**{**vars(said), "caller": "Someone else"})
    save_request(other, by="x", pk=first.pk, version=first.version)
    counts = [m.objects.count() for m in (Request, Opening, Issue, Enquiry, Order, PastOrder, User)]
    printed = demo()
    assert [
        m.objects.count() for m in (Request, Opening, Issue, Enquiry, Order, PastOrder, User)
    ] == counts
    assert Request.objects.get(pk=first.pk).caller == "Someone else"
    (password,) = [
        line.split()[1] for line in printed.splitlines() if line.startswith("   counter")
    ]
    signed = client.post("/sign-in/", {"username": "counter", "password": password})
    assert signed.status_code == 302
