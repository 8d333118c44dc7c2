"""An earlier call begins another one for the same windows: what was said stands there and is answered from the tables
of today; nothing of the earlier call changes."""

from datetime import timedelta

import pytest
from django.utils import timezone

from quotes.desk.requests import save_request
from quotes.desk.schedules import Sender, make_request, take_in, work_out
from quotes.models import Opening, Request
from quotes.said import SaidRequest
from sizing.models import Family
from tests.quotes import shop
from tests.quotes.conftest import publish
from tests.quotes.sheets import HEADINGS, grid, with_cell

pytestmark = pytest.mark.usefixtures("built")

CALLER = {"caller": "Mara Quill", "phone": "(802) 555-0117", "email": "mara@quill.example"}


def build():
    shop.load_liner()
    openings = shop.part_opening("Kitchen", 2), shop.cottage_opening("Stairs")
    return save_request(SaidRequest(**CALLER, note="side door", openings=openings), by="ann")


def boxes(page):
    """{name of a box: what stands in it}"""
    return {name: value for name, value in page.context["form"].head.initial.items() if value}


def again(clerk, request):
    return clerk.get(f"/counter/?like={request.pk}")


def test_one_press_from_the_call(clerk, built):
    """The earlier call leads to it; caller and windows stand there, the note and the day do not; nothing is written."""
    assert f"/counter/?like={built.pk}" in clerk.get(f"/requests/{built.pk}/").text
    page = again(clerk, built)
    assert f"Begun from request {built.pk}, which stays as it is." in page.text
    assert boxes(page) == CALLER
    kitchen, stairs = (o["form"].said() for o in page.context["openings"])
    assert (kitchen.label, kitchen.quantity, stairs.label) == ("Kitchen", 2, "Stairs")
    assert (kitchen.key, stairs.key) == (None, None)
    first = built.openings.get(position=0)
    assert kitchen.measures == first.said and first.part.part_number in page.text
    assert Request.objects.count() == 1


def test_saved_it_is_a_call_of_its_own(clerk, built):
    """What is saved from the page is another request with openings of its own; the earlier one stays."""
    page = again(clerk, built)
    form = page.context["form"]
    sent = {"version": "0", "page": str(form.page), "do": "save", **CALLER}
    sent["openings"] = [str(o.index) for o in form.openings]
    for opening in form.openings:
        sent |= {
            opening.add_prefix(name): value
            for name, value in opening.initial.items()
            if value not in (None, "", False)
        }
    clerk.post("/counter/", sent)
    new = Request.objects.exclude(pk=built.pk).get()
    assert new.note == "" and new.customer == built.customer
    assert [o.part_id for o in new.openings.all()] == [o.part_id for o in built.openings.all()]
    assert Opening.objects.filter(request=built).count() == 2


def test_a_family_that_is_made_no_more_is_left_out(clerk, built):
    """Its measures would stand in another family's boxes: the page says what is left out."""
    Family.objects.update(not_made_from=timezone.localdate() - timedelta(days=1))
    assert again(clerk, built).status_code == 200
    other = publish("heron-balance")
    page = again(clerk, built)
    assert "“Kitchen” is left out: no table of its family, otter-liner, is in force." in page.text
    (only,) = (o["form"].said() for o in page.context["openings"])
    assert only.family == other.family.code and only.is_blank


@pytest.mark.parametrize("like", ["", "x", "999999", "9" * 30])
def test_no_such_call_is_an_empty_page(clerk, built, like):
    """What names no call begins one as ever."""
    page = clerk.get(f"/counter/?like={like}")
    assert page.status_code == 200 and boxes(page) == {}


def of_a_schedule(liner, count):
    """The request of a sender's workbook with so many windows."""
    rows = grid(HEADINGS, *(with_cell("Quantity", 1) for _ in range(count)))
    sender = Sender(CALLER["caller"], CALLER["phone"], CALLER["email"])
    taken = take_in(rows, "s.xlsx", liner, by="ann", sender=sender)
    while work_out(taken.pk):
        pass
    return make_request(taken.pk, by="ann")


def test_the_windows_of_a_schedule(clerk, built):
    """An order that came of a workbook is ordered again by hand, some of its windows left out."""
    request = of_a_schedule(built.openings.first().revision, 3)
    page = again(clerk, request)
    assert boxes(page) == CALLER and len(page.context["openings"]) == 3
    assert f"Begun from request {request.pk}" in page.text


def test_more_windows_than_a_call_takes(clerk, built):
    """Nobody gets an empty page without a word: the caller stands there, and what to do."""
    request = of_a_schedule(built.openings.first().revision, 41)
    page = again(clerk, request)
    assert boxes(page) == CALLER
    assert f"Request {request.pk} holds 41 windows, more than a call takes" in page.text
