"""A request that was answered by an older table says so, and takes the newer one when told to."""

from dataclasses import replace

import pytest
from django.utils import timezone

from quotes.models import Request
from sizing.lookup import table_of
from sizing.tables import import_workbook
from tests.quotes.counter_page import fields_of, page, words_of

TYPED = {"m-upper_glass": "20 1/4", "m-lower_glass": "20 1/4", "m-opening": "47 7/8",
         "m-sash_weight": "12", "finish": "ash"}  # fmt: skip


@pytest.fixture
def place(clerk, liner) -> str:
    """A request answered before every price rose by ten."""
    place = clerk.post("/counter/", page(TYPED))["Location"]
    table = table_of(liner)
    parts = tuple(p if p.price is None else replace(p, price=p.price + 10) for p in table.parts)
    import_workbook(replace(table, parts=parts), "dearer", [], timezone.localdate(), "test")
    return place


def test_old_answer_stays(clerk, place):
    """Opened again it reads as it did, and says that a newer table is in force."""
    shown = words_of(clerk.get(place))
    assert "$79.50 a pair" in shown
    assert "revision 2 is in force now. Work it out with revision 2" in shown


def test_live_answer_stays_with_the_old_table(clerk, place):
    """The live answer of a stored opening goes by the table that answered it before."""
    fields = fields_of(clerk.get(place))
    assert "$79.50 a pair" in words_of(clerk.post("/counter/answer/?o=0", fields))


def test_newer_table_when_told(clerk, place):
    """Ticked, the newer table answers, on the page at once and for good when saved."""
    fields = {**fields_of(clerk.get(place)), "o0-renew": "on"}
    assert "$89.50 a pair" in words_of(clerk.post("/counter/answer/?o=0", fields))
    clerk.post(place, fields)
    assert Request.objects.get().openings.get().revision.number == 2
    assert "is in force now" not in words_of(clerk.get(place))
