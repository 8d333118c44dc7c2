"""Every list with what narrows it, for eyes, ears and small screens, and on paper."""

import pytest
from django.urls import reverse

from tests.access import shop
from tests.access.test_lists_given_out import PAGES
from tests.browser.wcag import in_both


@pytest.fixture
def owner(browser, live_server, transactional_db):
    from django.test import Client

    person = shop.people()["owner"]
    arguments = shop.arguments()
    client = Client()
    client.force_login(person)
    context = browser.new_context(base_url=live_server.url, viewport={"width": 1280, "height": 900})
    context.add_cookies(
        [{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}]
    )
    page = context.new_page()
    page.lists = [reverse(name, args=arguments.get(name, [])) for name in PAGES]
    page.lists[page.lists.index("/when/")] = "/when/?q=mara"
    yield page
    context.close()


def open_all(page):
    for summary in page.locator(".narrow:not([open]) summary").all():
        summary.click()


def test_axe_finds_nothing(owner):
    """No violation on any list, in light and dark, with what narrows it open, nor when it is mistyped."""
    for address in [*owner.lists, "/requests/?since=soon", "/orders/?q=nobody"]:
        owner.goto(address)
        open_all(owner)
        assert in_both(owner) == [], address


def test_nothing_runs_off(owner):
    """On a phone nothing is wider than the page, with what narrows the list open."""
    for address in owner.lists:
        owner.goto(address)
        open_all(owner)
        for width in (390, 320):
            owner.set_viewport_size({"width": width, "height": 800})
            assert owner.evaluate("document.documentElement.scrollWidth") <= width, (address, width)


def test_paper_has_the_list_alone(owner):
    """What narrows a list and the links to its files are not printed."""
    owner.goto("/requests/")
    owner.emulate_media(media="print")
    assert owner.locator("table").is_visible()
    assert not owner.locator(".take-along").first.is_visible()
    assert not owner.locator("form.find").is_visible()


def test_file_comes_by_its_link(owner):
    """The links below a list give the files whose names say the list and the day."""
    owner.goto("/requests/?q=mara")
    for name, ending in (("CSV", "csv"), ("Workbook", "xlsx")):
        with owner.expect_download() as coming:
            owner.get_by_role("link", name=name).click()
        assert coming.value.suggested_filename.startswith("requests-20")
        assert coming.value.suggested_filename.endswith(f".{ending}")
