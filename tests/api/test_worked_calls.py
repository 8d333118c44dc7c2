"""Every worked call on the API's own page does what the page says, in the order in which it stands there."""

import html
import re
import shlex

import pytest
from django.test import Client

from config.api.worked import VARIES, WORKED
from ordering.events import Who, place_from_quote
from ordering.expected import forget
from quotes.desk.drafts import Head, change_head
from quotes.desk.issuing import issue_quote
from quotes.models import Quote

pytestmark = pytest.mark.django_db


def the_desk_issues():
    quote = Quote.objects.get()
    issue = quote.issues.get()
    change_head(issue.pk, Head(None, True, None, "", 30))
    issue_quote(issue.pk, "ann")


def the_desk_places():
    forget()
    place_from_quote(Quote.objects.get().pk, Who("ann", "counter"))


MEANWHILE = {"read the quote": the_desk_issues, "read the request": the_desk_places}


def like(shown, found):
    """The found answer with everything that may vary put as the page shows it."""
    if shown == VARIES and found is not None:
        return VARIES
    if isinstance(shown, dict) and isinstance(found, dict):
        return {key: like(shown.get(key), value) for key, value in found.items()}
    if isinstance(shown, list) and isinstance(found, list) and len(shown) == len(found):
        return [like(one, other) for one, other in zip(shown, found, strict=True)]
    return found


def test_all_in_their_order(web_shop):
    """Status and body of each call are as shown; what differs each time is there, and marked so."""
    numbers = {}
    for worked in WORKED:
        MEANWHILE.get(worked.name, lambda: None)()
        response = web_shop.call(worked.method, worked.path.format(**numbers), worked.body)
        found = response.json()
        assert response.status_code == worked.status, worked.name
        assert like(worked.answer, found) == worked.answer, worked.name
        if "answers" in found and "number" in found:
            numbers["request"] = found["number"]
        for quote in found.get("quotes", []):
            numbers |= {"quote": quote["number"], "order": quote["order"]}


def test_page_shows_them():
    """The page is open to everybody and shows each call with its body and its answer."""
    page = Client().get("/api/").content.decode()
    for worked in WORKED:
        assert worked.words.replace("'", "&#x27;") in page
        assert f"{worked.method} /api{worked.path}" in page
    assert "OHL-05MS" in page


def test_the_first_call_works_as_typed(web_shop):
    """The line for a shell on the page: its words as a shell takes them make one part."""
    page = html.unescape(Client().get("/api/").content.decode())
    line = re.search(r"<code>(curl .*?)</code>", page, re.DOTALL).group(1)
    _curl, address, *options = shlex.split(line)
    given = list(zip(options[::2], options[1::2], strict=True))
    assert ("-H", "Authorization: Bearer KEY") in given
    assert address.endswith("/api/resolve")
    (answer,) = web_shop.post("/resolve", dict(given)["-d"]).json()["answers"]
    assert (answer["outcome"], answer["part_number"]) == ("part", "OHL-05MS")
