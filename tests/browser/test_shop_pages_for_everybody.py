"""First run, people, start of the day, measuring and API pages for eyes, ears and small screens."""

import pytest

from quotes.desk.integrations import make_integration, tell_at
from quotes.desk.staff import invite
from quotes.links import invitation_address
from quotes.models import Customer
from tests.browser.wcag import in_both
from tests.ordering.placed import user
from tests.quotes.shop import cottage_opening, draft_quote, take_request

LISTED = [
    "/", "/your-sign-in/", "/your-sign-in/again/", "/your-sign-in/code/", "/shop/rules/", "/shop/", "/shop/people/", "/shop/programs/", "/password/", "/set-up/begin/",
    "/measuring/", "/measure/otter-liner/", "/measure/heron-strip/", "/measure/otter-liner/sent/",
    "/api/",
]  # fmt: skip


@pytest.fixture
def owner(browser, live_server, tables, settings):
    """The owner's browser, at a desk with work, an invitation and a program."""
    from django.test import Client

    settings.SITE_URL = live_server.url
    take_request(cottage_opening())
    draft_quote()
    program, _ = make_integration("web shop", "ida")
    tell_at(program.pk, "https://shop.example/news")
    client = Client()
    client.force_login(user("ida", "owner"))
    context = browser.new_context(base_url=live_server.url, viewport={"width": 1280, "height": 900})
    context.add_cookies(
        [{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}]
    )
    page = context.new_page()
    bram = invite("Bram", "bram@wherry.example", "staff", "Ida")
    page.more = [invitation_address(bram), f"/shop/programs/{program.pk}/"]
    page.more.append(f"/customers/{Customer.objects.first().pk}/data/")
    page.more.append(f"/shop/people/{user('ida', 'owner').pk}/code-off/")
    yield page
    context.close()


def test_axe_finds_nothing(owner):
    """axe-core finds no violation on any of the pages, in light and dark, nor after a check that failed."""
    for address in [*LISTED, *owner.more]:
        owner.goto(address)
        assert in_both(owner) == [], address
    owner.goto("/measure/otter-liner/")
    for name, text in (("upper_glass", "20 1/4"), ("lower_glass", "20 1/4"), ("opening", "44")):
        owner.fill(f"#id_m-{name}", text)
    owner.get_by_role("button", name="Check my measures").click()
    assert in_both(owner) == []
    owner.get_by_role("button", name="Send my measures").click()
    assert in_both(owner) == []


def test_axe_finds_nothing_on_the_first_page(browser, live_server, transactional_db):
    """The set-up page, blank and refused, has no violation either, and runs off no small screen."""
    context = browser.new_context(base_url=live_server.url, viewport={"width": 320, "height": 700})
    page = context.new_page()
    page.goto("/")
    assert in_both(page) == []
    page.get_by_role("button", name="Set up and sign in").click()
    assert in_both(page) == []
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    context.close()


def test_nothing_runs_off_a_small_screen(owner):
    """At 320 px no page is wider than the screen."""
    owner.set_viewport_size({"width": 320, "height": 700})
    for address in [*LISTED, *owner.more]:
        owner.goto(address)
        over = owner.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert over <= 0, address
