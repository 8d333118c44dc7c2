"""manage.py demo: the invented shop, its five worked requests, quotes and enquiries in every state."""

import json
import uuid
from io import StringIO

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command

from ordering.management.commands.demo import FIXTURES, NAMES
from ordering.models import Order, PastOrder
from quotes.desk.requests import save_request
from quotes.lists.requests import said_of
from quotes.models import Enquiry, Issue, Opening, Request


def demo() -> str:
    out = StringIO()
    call_command("demo", stdout=out)
    return out.getvalue()


def worked_requests() -> list[Request]:
    """The five of them, in the order in which they are printed."""
    titles = [worked["title"] for worked in json.loads((FIXTURES / "requests.json").read_text())]
    return [Request.objects.get(page=uuid.uuid5(NAMES, title)) for title in titles]


def test_five_kinds_of_answer(db):
    """A part, a slip found, backwards from the old part, a cottage split, one question; all printed."""
    printed = demo()
    openings = [request.openings.get() for request in worked_requests()]
    answers = [opening.answer for opening in openings]
    assert [a["outcome"] for a in answers] == ["part", "part", "part", "special", "ask"]
    assert "only the visible glass is measured" in answers[1]["text"]
    assert "long_point" in openings[2].said
    assert (answers[3]["reason"], answers[4]["ask"]) == ("unequal_split", "sash_height")
    assert printed.count("   caller  ") == printed.count("   desk    ") == 5
    assert all(f"Part {a['part_number']}" in printed for a in answers[:3])


def test_run_again_it_is_the_same_demo(db, client):
    """A second run adds nothing and leaves what somebody went on with; its passwords are the ones that work."""
    demo()
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


def test_database_in_use_is_left_alone(db):
    """A database with people of its own is refused, and nothing is added to it."""
    User.objects.create_user("hanna")
    with pytest.raises(CommandError, match="give the demo one of its own") as refused:
        demo()
    assert refused.value.returncode == 2
    assert not Request.objects.exists()
