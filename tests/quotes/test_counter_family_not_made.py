"""An opening of a family that is not made any more stays what it was, says so, and is offered to nobody else."""

import pytest
from django.utils import timezone

from quotes.models import Request
from sizing.tables import stop_offering
from tests.quotes.conftest import publish
from tests.quotes.counter_page import fields_of, page, words_of

TYPED = {"m-upper_glass": "20 1/4", "m-lower_glass": "20 1/4", "m-opening": "47 7/8",
         "m-sash_weight": "12", "finish": "ash"}  # fmt: skip
SAID = "has not been made since"


@pytest.fixture
def place(clerk, liner) -> str:
    """A stored opening of a liner that has not been made since today."""
    publish("heron-balance")
    place = clerk.post("/counter/", page(TYPED))["Location"]
    stop_offering(liner.family, timezone.localdate())
    return place


def test_it_stays_what_it_was(clerk, place):
    shown = clerk.get(place)
    assert SAID in words_of(shown)
    fields = fields_of(shown)
    assert (fields["o0-family"], fields["o0-m-opening"]) == ("otter-liner", "47 7/8")
    assert "$79.50 a pair" in words_of(clerk.post("/counter/answer/?o=0", fields))
    clerk.post(place, {**fields, "note": "asked again"})
    kept = Request.objects.get()
    assert (kept.note, kept.openings.get().family.code) == ("asked again", "otter-liner")


def test_nobody_else_is_offered_it(clerk, place):
    """Not on a fresh page, nor in a stored opening of another family once it was chosen."""
    assert "otter-liner" not in clerk.get("/counter/").content.decode()
    fields = {**fields_of(clerk.get(place)), "o0-family": "heron-balance"}
    clerk.post(place, fields)
    assert Request.objects.get().openings.get().family.code == "heron-balance"
    shown = clerk.get(place)
    assert SAID not in words_of(shown)
    assert "otter-liner" not in shown.content.decode()
