"""A quote's page of many openings is short: drawings are folded away, paper has them all."""

from dataclasses import replace
from io import BytesIO

import pytest
from django.template.loader import render_to_string
from pypdf import PdfReader

from quotes.documents.content import from_plain
from quotes.links import address_of
from tests.quotes import shop

COUNT = 12


@pytest.fixture
def windows(page, tables, live_server, settings):
    """Opens the customer's page of so many windows of two finishes, on a phone."""
    settings.SITE_URL = live_server.url
    shop.load_prices()
    page.set_viewport_size({"width": 390, "height": 844})

    def opened(count, *more):
        parts = [
            shop.part_opening(f"bay {n}", finish=("slate", "ash")[n % 2]) for n in range(count)
        ]
        page.goto(address_of(shop.issued_quote(*parts, *more)))
        return page

    return opened


def test_the_measures_stay_in_sight(windows):
    """Each opening is a line of measures with its tick; the drawing comes when it is asked for."""
    page = windows(COUNT)
    first = page.locator("section.sheet", has=page.locator("#tick-0"))
    assert first.bounding_box()["height"] < 340
    assert first.get_by_text("Upper glass height").first.is_visible()
    assert first.locator("#tick-0").is_visible() and not first.locator("svg").is_visible()
    first.get_by_text("Drawing and details").click()
    assert first.locator("svg").is_visible()


def test_the_desk_s_page_is_as_short(page, tables):
    """A draft of a schedule of windows shows a line each, the drawing when it is asked for."""
    shop.load_prices()
    issue = shop.draft_quote(*(shop.part_opening(f"bay {n}") for n in range(COUNT)))
    page.goto(f"/quotes/{issue.quote_id}/")
    last = page.locator("section.sheet", has=page.get_by_role("heading", name="bay 11"))
    assert last.bounding_box()["height"] < 200
    assert last.get_by_text("Upper glass height").first.is_visible()
    last.get_by_text("Drawing and details").click()
    assert last.locator("svg").is_visible()


def test_what_may_be_wrong_is_not_folded_away(tables):
    """An opening with a measure in doubt stands open."""
    shop.load_prices()
    sheet = from_plain(shop.issued_quote(shop.part_opening()).document).openings[0]
    doubtful = replace(sheet, measures=(replace(sheet.measures[0], doubtful=True),))
    for one, stands_open in ((sheet, False), (doubtful, True)):
        shown = render_to_string("quotes/quote_opening.html", {"sheet": one, "fold": True})
        assert ('<details class="printed" open>' in shown) is stands_open


def test_a_few_are_not_folded(windows):
    page = windows(2)
    assert page.locator("form svg").first.is_visible()
    assert not page.get_by_text("Drawing and details").count()


def test_paper_shows_all(windows):
    """Every opening with its drawing and its table, whatever was folded on the screen, and no word twice."""
    page = windows(COUNT)
    paper = PdfReader(BytesIO(page.pdf(format="Letter")))
    text = " ".join(" ".join(sheet.extract_text().split()) for sheet in paper.pages)
    assert text.count("in its weight range") == COUNT and "Drawing and details" not in text
    page.emulate_media(media="print")
    assert all(drawing.is_visible() for drawing in page.locator("form svg").all())
