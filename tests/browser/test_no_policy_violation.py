"""A real browser opens every page there is; none of them does what the content policy forbids."""

import pytest
from django.test import Client
from django.urls import reverse

from tests.access.addresses import addresses
from tests.access.expected import EXPECTED
from tests.access.shop import arguments, people
from tests.browser.pages import come

# Files to download, and data for programs: nothing of them is shown in a page.
FILES = (
    "pdf", "xlsx", "workbook", "paper", "sheet", "template", "calendar", "health", "json", "filled",
)  # fmt: skip
PAGES = [
    name for name, cells in EXPECTED.items()
    if cells[0].endswith("o") and not any(part in name for part in FILES)
]  # fmt: skip
TELL = (
    "document.addEventListener('securitypolicyviolation',"
    " e => console.error('POLICY', e.effectiveDirective, e.blockedURI, e.sourceFile))"
)


@pytest.fixture
def watched(browser, live_server, transactional_db):
    """(a page of the browser in which the owner is signed in, what it reported so far, arguments)."""
    owner, known = people()["owner"], arguments()
    client = Client()
    client.force_login(owner)
    context = browser.new_context(base_url=live_server.url)
    context.add_cookies(
        [{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}]
    )
    context.add_init_script(TELL)
    reported = []
    context.on(
        "console", lambda said: reported.append(said.text) if "POLICY" in said.text else None
    )
    context.on("weberror", lambda error: reported.append(str(error.error)))
    yield context.new_page(), reported, known
    context.close()


def test_every_page(watched):
    """No page of the desk, of a customer or of a factory does anything the policy forbids."""
    page, reported, known = watched
    shown = 0
    for name in PAGES:
        if name in addresses():
            response = page.goto(reverse(name, args=known.get(name, [])))
            assert response.status == 200, name
            assert reported == [], f"{name}: {reported}"
            shown += 1
    assert shown > 30


def test_live_answer(watched):
    """Typing at the counter, the drawing and the saving by itself keep to the policy as well."""
    page, reported, _ = watched
    page.goto("/counter/")
    with page.expect_response("**/counter/answer/**"):
        page.fill("[name=o0-m-upper_glass]", "20 1/4")
    page.wait_for_selector("#openings svg")
    with page.expect_response("**/counter/"):
        page.fill("[name=caller]", "Mara Quill")
        page.keyboard.press("Tab")
    assert reported == []


def test_violation_is_seen(watched):
    """The test's own eyes: a style put into the page is refused by the browser, and reported."""
    page, reported, _ = watched
    page.goto("/counter/")
    page.evaluate("document.body.setAttribute('style', 'color: red')")
    come(page, reported)
    assert any("style-src" in words for words in reported)
