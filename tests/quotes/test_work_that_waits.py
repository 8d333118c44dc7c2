"""What waits is marked, so that a first page finds it by an index: after each act no mark is missing or too many."""

from dataclasses import replace

import pytest

from quotes import worklist
from quotes.desk.accepting import accept
from quotes.desk.drafts import discard_draft
from quotes.desk.enquiries import ask_about, ask_lead_time
from quotes.desk.quoting import begin_quotes
from quotes.desk.requests import put_aside, save_request, take_up
from quotes.desk.special_prices import price
from quotes.desk.specials import close, flag
from quotes.find_forms import RequestsFind
from quotes.lists.requests import requests_asked_for, said_of
from quotes.lists.specials import waiting
from quotes.lists.today import calls_to_finish
from quotes.models import Opening, Quote, Request
from sizing.models import Part
from tests.quotes import shop, specials
from tests.quotes.specials import take_answer

pytestmark = pytest.mark.django_db


def marks() -> tuple[bool, list[bool]]:
    """(is the one request a call, does each of its openings wait), after a look whether they are true."""
    request = Request.objects.get()
    waits = [opening.waits for opening in request.openings.all()]
    due = {o.pk for o in worklist.unasked(Opening.objects.all())}
    due |= {o.pk for o in worklist.outdated(Opening.objects.all())}
    assert [o.pk in due for o in request.openings.all()] == waits
    assert worklist.calls(Request.objects.all()).exists() is request.waits
    assert list(worklist.hidden()) == []
    return request.waits, waits


def test_after_each_act():
    """A call waits until a factory has it or a quote is begun; a special until it is asked about, or again."""
    specials.set_up()
    opening = specials.cottage()
    pk, by = opening.request_id, "ann"
    assert marks() == (True, [True])
    put_aside(pk, by)
    assert marks() == (False, [True])
    take_up(pk)
    assert marks() == (True, [True])
    special = flag(opening.pk, by=by)
    assert marks() == (False, [False])
    close(special.pk, by=by, why="never mind")
    assert marks() == (True, [False])
    special = take_answer(ask_about(opening.pk, by=by).pk, specials.usual_answer())
    assert marks() == (False, [False])
    price(special.pk, None, by=by, is_manager=True)
    assert marks() == (False, [False])
    said = said_of(Request.objects.get())
    more = replace(said, openings=(replace(said.openings[0], quantity=7),))
    save_request(more, by=by, pk=pk, version=Request.objects.get().version)
    assert marks() == (False, [True])


def test_accepted_as_it_is():
    """In an accepted quote its price was agreed without the factory, so it is not asked about any more."""
    shop.load_liner()
    issue = shop.issued_quote(shop.cottage_opening())
    assert marks() == (False, [True])
    accept(issue.pk, name="Jo", ticked=[sheet["name"] for sheet in issue.document["openings"]])
    assert marks() == (False, [False])


def test_draft_discarded():
    """A quote begun by mistake leaves a call to finish behind."""
    shop.load_liner()
    request = shop.take_request(shop.cottage_opening())
    begin_quotes(request.pk, "ann")
    assert marks() == (False, [True])
    discard_draft(Quote.objects.get().issues.get().pk)
    assert marks() == (True, [True])


def test_lead_time_asked():
    """A question about when a part would leave is no special of the opening."""
    specials.set_up()
    request = shop.take_request(shop.cottage_opening())
    part = Part.objects.exclude(part_number="").first()
    ask_lead_time(request.pk, part.pk, 3, by="ann")
    assert marks() == (False, [True])


def test_list_of_requests_without_a_quote():
    """Narrowed to those without a quote the list has the calls, and those that a factory has, and no others."""
    specials.set_up()
    at_a_factory = specials.cottage(caller="Ada")
    flag(at_a_factory.pk, by="ann")
    call = specials.cottage(caller="Ben")
    aside = specials.cottage(caller="Cleo")
    put_aside(aside.request_id, "ann")
    begin_quotes(specials.cottage(caller="Dov").request_id, "ann")
    found = requests_asked_for(RequestsFind({"stands": "unquoted"}).said).every()
    assert {r.pk for r in found} == {at_a_factory.request_id, call.request_id}


def test_mark_too_many_is_not_shown():
    """Rows from before there were marks have all of them: the rule is asked all the same, and a night takes them off."""
    specials.set_up()
    special = flag(specials.cottage().pk, by="ann")
    Request.objects.update(waits=True)
    Opening.objects.update(waits=True)
    assert not calls_to_finish() and [line.special for line in waiting()] == [special]
    worklist.settle()
    assert marks() == (False, [False])


def test_missing_mark_is_found():
    """The check of what is stored names a call and a special that no page would show."""
    specials.set_up()
    specials.cottage()
    Request.objects.update(waits=False)
    Opening.objects.update(waits=False)
    call, special = worklist.hidden()
    assert "is a call to finish" in call and "waits for a factory" in special
