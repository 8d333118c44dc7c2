"""Lists that are narrowed, for eyes, ears and small screens, on paper, and as files."""

import pytest

from tests.access import shop
from tests.browser.wcag import wrong


@pytest.fixture
def owner(browser, live_server, transactional_db):
    from django.test import Client

    person = shop.people()["owner"]
    shop.arguments()
    client = Client()
    client.force_login(person)
    context = browser.new_context(base_url=live_server.url, viewport={"width": 1280, "height": 900})
    context.add_cookies(
        [{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}]
    )
    page = context.new_page()
    yield page
    context.close()


def test_nothing_is_wrong(owner):
    """Nor with a list that is narrowed by what nobody can read, that finds nothing, or that answers "When?"."""
    for address in ("/requests/?since=soon", "/orders/?q=nobody", "/when/?q=mara"):
        owner.goto(address)
        assert wrong(owner) == [], address


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
