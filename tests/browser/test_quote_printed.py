"""The customer's page on paper: every amount and every word of a line is on the sheet."""

from io import BytesIO

import pytest
from pypdf import PdfReader

from quotes.links import address_of
from tests.quotes import shop

LETTER = {"width": 816, "height": 1056}  # 8.5 x 11 in at 96 dots an inch


@pytest.fixture
def link(tables, live_server, settings):
    settings.SITE_URL = live_server.url
    shop.load_prices()
    return address_of(shop.issued_quote(shop.part_opening(quantity=1200), shop.cottage_opening()))


def test_no_amount_is_cut_off(page, link):
    """The last column ends inside the sheet, however large its amounts are."""
    page.set_viewport_size(LETTER)
    page.emulate_media(media="print")
    page.goto(link)
    cells = page.locator(".lines td:last-child").all()
    assert cells
    for cell in cells:
        box = cell.bounding_box()
        assert box["x"] + box["width"] <= LETTER["width"]


def test_lead_time_and_what_is_off_are_printed(page, link):
    """The small words under a part are on paper too; boxes to tick and buttons are not."""
    page.emulate_media(media="print")
    page.goto(link)
    assert page.get_by_text("Lead time").first.is_visible()
    assert page.get_by_text("2.5 % off for the quantity").is_visible()
    assert not page.get_by_role("button", name="Accept this quote").is_visible()


def test_totals_stand_once_and_an_opening_stays_together(page, tables, live_server, settings):
    """However many sheets a quote takes: totals once, and each opening's name beside its measures."""
    settings.SITE_URL = live_server.url
    shop.load_prices()
    windows = [
        shop.part_opening(f"Unit {n}, of the house by the mill", finish=("slate", "ash")[n % 2])
        for n in range(20)
    ]
    page.goto(address_of(shop.issued_quote(*windows, shop.cottage_opening())))
    paper = PdfReader(BytesIO(page.pdf(format="Letter", margin={"top": "14mm", "bottom": "14mm"})))
    sheets = [" ".join(sheet.extract_text().split()) for sheet in paper.pages]
    assert sum(sheet.count("Sales tax (") for sheet in sheets) == 1
    # What an opening is stands under its name, its weight's class at the end of its measures.
    begun = [sheet.count("equal, glass") for sheet in sheets]
    assert sum(begun) == 20 and begun == [sheet.count("in its weight range") for sheet in sheets]
