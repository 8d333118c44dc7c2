"""What is on the screen is in the file: the same narrowing, and every row of it, not one page."""

import csv
import io

import pytest

from quotes.desk.requests import save_request
from quotes.said import SaidOpening, SaidRequest
from tests.quotes.conftest import publish

ROWS = 60


pytestmark = pytest.mark.usefixtures("built")


def build():
    publish("otter-liner")
    for number in range(ROWS):
        measures = {"opening": "47"} if number % 2 else {}
        opening = SaidOpening("otter-liner", label=f"bay {number}", measures=measures)
        said = SaidRequest(f"{'Ann' if number % 3 else 'Ben'} {number}", openings=(opening,))
        save_request(said, by="mira")


def callers(clerk, query):
    lines = b"".join(clerk.get(f"/requests/?{query}&as=csv").streaming_content)
    return [row["Caller"] for row in csv.DictReader(io.StringIO(lines.decode("utf-8-sig")))]


def test_every_row(clerk):
    """A list of more than a page is whole in its file, in the page's order."""
    page = clerk.get("/requests/")
    shown = [one.caller for one in page.context["lists"]["requests"].page]
    assert len(shown) == 25
    whole = callers(clerk, "")
    assert len(whole) == ROWS and whole[:25] == shown


QUERIES = {
    "words": ("q=ben", 20),
    "words and state": ("q=ben&stands=quoted", 0),
    "a family": ("family=otter-liner", ROWS),
    "days to come": ("since=2999-01-01", 0),
}


@pytest.mark.parametrize("query, count", QUERIES.values(), ids=QUERIES.keys())
def test_same_narrowing(clerk, query, count):
    """What narrows the page narrows its file to the same rows."""
    page = clerk.get(f"/requests/?{query}")
    assert page.context["lists"]["requests"].count == count == len(callers(clerk, query))


def test_links_keep_what_narrows(clerk):
    """The links to the next page and to the files keep every word of the address."""
    shown = clerk.get("/requests/?q=ann&stands=ask&page=1").context["lists"]["requests"]
    assert shown.csv == "?q=ann&stands=ask&as=csv"
    page = clerk.get("/requests/?stands=unquoted").context["lists"]["requests"]
    assert page.after == "?stands=unquoted&page=2"


def test_queries_do_not_grow(clerk, django_assert_max_num_queries):
    """A file costs a few queries for some hundred rows, not one a row."""
    with django_assert_max_num_queries(12):
        assert len(callers(clerk, "")) == ROWS
