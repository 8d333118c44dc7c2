"""The manager's day: what waits, a special from flag to price, a new table, a price, a shutdown, a shortage, a person."""

import re
from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone
from moneyed import Money
from openpyxl import load_workbook
from playwright.sync_api import expect

from ordering.models import Shortage, Shutdown
from quotes.desk.factory_answers import FactoryAnswer
from quotes.models import Enquiry, Special, Terms
from sizing.models import Part
from tests.browser.days import FACTORY, open_shop, whoever
from tests.browser.letters import link_in, work
from tests.browser.pages import signed_in
from tests.quotes.conftest import FIXTURES
from tests.quotes.shop import cottage_opening, draft_of, take_request
from tests.quotes.specials import take_answer


@pytest.fixture
def desk(browser, live_server, tables, letterbox):
    """The manager Oswin at the first page."""
    open_shop()
    with signed_in(browser, live_server.url, whoever("manager")) as page:
        yield page


def waiting(desk, heading: str):
    desk.goto("/")
    return desk.get_by_role("region", name=re.compile(heading))


def test_special_from_the_first_page_to_the_quote(desk, letterbox):
    """Flagged, asked with words of one's own, answered, priced by the rule: each time from the first page."""
    request = take_request(cottage_opening())
    draft_of(request)
    waiting(desk, "Specials waiting").get_by_role("link", name=re.compile("Mara Quill")).click()
    desk.get_by_label("Words for the factory").fill("Please cut it two eighths over.")
    desk.get_by_role("button", name="Ask Otter Hollow Millwork now").click()
    work()
    (letter,) = letterbox.to(FACTORY)
    assert "two eighths over" in letter.get_body().get_content()
    answer = FactoryAnswer(
        name="Jo Marsh", can_be_made=True, unit_cost=Money("131.40", "USD"), weeks_min=5, weeks_max=6,
        valid_until=timezone.localdate() + timedelta(days=30), remarks="",
    )  # fmt: skip
    take_answer(Enquiry.objects.get().pk, answer)
    waiting(desk, "Specials waiting").get_by_role("link", name=re.compile("Mara Quill")).click()
    expect(desk.get_by_text("183.96 USD")).to_be_visible()
    desk.get_by_role("button", name="Price it and put it into the quote").click()
    expect(desk.get_by_text("in the quote").first).to_be_visible()
    assert Special.objects.get().line.unit_price == Decimal("183.96")


def dearer(folder) -> str:
    """The liner's workbook with one part at another price."""
    book = load_workbook(FIXTURES / "otter-liner.xlsx")
    sheet = book["Parts"]
    heads = [str(cell.value).lower() for cell in sheet[1]]
    number, price = heads.index("part_number") + 1, heads.index("price") + 1
    for row in range(2, sheet.max_row + 1):
        if sheet.cell(row, number).value == "OHL-05LS":
            sheet.cell(row, price).value = 99.5
    book.save(folder / "liner, winter.xlsx")
    return str(folder / "liner, winter.xlsx")


def test_new_table_is_compared_before_it_counts(desk, tmp_path):
    """A workbook becomes a draft that says what it changes; put in force, it is what the counter prices by."""
    desk.goto("/tables/")
    desk.get_by_label("Workbook (.xlsx)").set_input_files(dearer(tmp_path))
    desk.get_by_role("button", name="Check and keep as draft").click()
    changed = desk.get_by_role("region", name="Parts changed").locator("tbody tr")
    expect(changed).to_have_count(1)
    expect(changed).to_contain_text("OHL-05LS")
    expect(changed).to_contain_text("99.50")
    expect(waiting(desk, "Size tables to put in force")).to_contain_text("Otter Hollow jamb liner")
    desk.get_by_role("link", name="Otter Hollow jamb liner").click()
    desk.get_by_role("button", name="Put in force").click()
    expect(desk.locator(".messages")).to_be_visible()
    newest = Part.objects.filter(part_number="OHL-05LS").order_by("-revision__number").first()
    assert newest.price == Money("99.50", "USD") and newest.revision.in_force_from


def test_terms_count_from_their_day(desk):
    """New terms are added with their first day; a wrong entry says which box, and keeps the rest."""
    desk.goto("/prices/")
    terms = desk.get_by_role("region", name="Terms", exact=True)
    terms.get_by_text("Add terms").click()
    terms.get_by_label("Name").fill("builders")
    terms.get_by_label("Off list, %").fill("900")
    terms.get_by_role("button", name="Add", exact=True).click()
    expect(desk.get_by_role("alert")).to_contain_text("Nothing you typed is lost")
    assert terms.get_by_label("Name").input_value() == "builders"
    terms.get_by_label("Off list, %").fill("9")
    terms.get_by_role("button", name="Add", exact=True).click()
    expect(desk.get_by_role("rowheader", name="builders")).to_be_visible()
    assert Terms.objects.get(name="builders").discount_percent == 9


def test_shutdown_and_shortage_are_written_down(desk, tables):
    """From the table's page to the factory's calendar: a week shut, a finish short, both there to be taken out."""
    desk.goto("/tables/")
    desk.get_by_role("link", name="Otter Hollow Millwork").click()
    desk.get_by_role("link", name=re.compile("When it is shut")).click()
    monday = timezone.localdate() + timedelta(days=14)
    desk.get_by_label("First day shut").fill(str(monday))
    desk.get_by_label("Last day shut").fill(str(monday + timedelta(days=6)))
    desk.get_by_role("button", name="Write down as shut").click()
    expect(desk.get_by_role("button", name=re.compile("^Take out"))).to_have_count(1)
    desk.get_by_label("Orders are not started before").fill(str(monday))
    desk.get_by_label("Finish").select_option("slate")
    desk.get_by_role("button", name="Write down as short").click()
    expect(desk.get_by_role("button", name=re.compile("^Take out"))).to_have_count(2)
    assert Shutdown.objects.get().first_day == Shortage.objects.get().until == monday


def test_owner_invites_somebody(browser, live_server, desk, letterbox):
    """People are the owner's to invite: the manager has no such line; the link in the mail leads to a form."""
    desk.goto("/")
    expect(desk.get_by_role("link", name="People at the desk")).to_have_count(0)
    with signed_in(browser, live_server.url, whoever("owner")) as owner:
        owner.goto("/shop/people/")
        owner.get_by_label("Name").fill("Bram Oakley")
        owner.get_by_label("E-mail").fill("bram@wherry.example")
        owner.get_by_role("button", name="Invite").click()
        expect(owner.locator(".messages")).to_contain_text("Bram Oakley is invited")
    work()
    (letter,) = letterbox.to("bram@wherry.example")
    with signed_in(browser, live_server.url, None) as bram:
        bram.goto(link_in(letter, "join"))
        expect(bram.get_by_label("name").first).to_have_value("Bram Oakley")
