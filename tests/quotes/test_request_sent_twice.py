"""The same page sent twice is one request."""

import uuid

from quotes.desk import requests
from quotes.models import Opening, Request
from tests.quotes.counter_page import fields_of, page

TYPED = {"m-upper_glass": "20 1/4", "m-opening": "47 7/8"}


def test_new_page_sent_twice(clerk, liner):
    """Pressing Save twice on a new page makes one request."""
    typed = page(TYPED, caller="Ann", page=str(uuid.uuid4()))
    first, second = clerk.post("/counter/", typed), clerk.post("/counter/", typed)
    assert first["Location"] == second["Location"]
    assert Request.objects.count() == Opening.objects.count() == 1


def test_stored_page_sent_twice(clerk, liner):
    """The second time nothing changes, the version neither."""
    place = clerk.post("/counter/", page(TYPED))["Location"]
    changed = {**fields_of(clerk.get(place)), "caller": "Ann"}
    clerk.post(place, changed)
    clerk.post(place, changed)
    assert Request.objects.get().version == 2


def test_saved_by_itself_then_by_key(clerk, liner):
    """A new page that saved itself goes on as that request, each opening as itself."""
    typed = page(TYPED, page=str(uuid.uuid4()))
    response = clerk.post("/counter/", {**typed, "do": "autosave"})
    place = response["HX-Replace-Url"]
    fields = fields_of(response)
    assert (fields["version"], fields["o0-key"]) == ("1", str(Opening.objects.get().pk))
    clerk.post(place, {**typed, **fields, "caller": "Ann"})
    request = Request.objects.get()
    assert (request.caller, request.version, request.openings.count()) == ("Ann", 2, 1)


def test_new_page_sent_twice_at_once(clerk, liner, monkeypatch):
    """Of two that meet in the same moment the later one finds the request of the first."""
    typed = page(TYPED, caller="Ann", page=str(uuid.uuid4()))
    first = clerk.post("/counter/", typed)
    really, asked = requests._present, []

    def not_there_yet(pk, key):
        asked.append(key)
        return None if len(asked) == 1 else really(pk, key)

    monkeypatch.setattr(requests, "_present", not_there_yet)
    assert clerk.post("/counter/", typed)["Location"] == first["Location"]
    assert (len(asked), Request.objects.count()) == (2, 1)
