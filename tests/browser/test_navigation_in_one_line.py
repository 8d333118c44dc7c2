"""The strip along the top is one line at 1280 px and tidy on a phone; every page of a role is reached by it."""

import pytest

from config.access import may_open
from config.navigation import NAVIGATION
from tests.browser.conftest import PASSWORD, clerk_named


@pytest.fixture(params=["counter", "manager", "owner", "staff"])
def somebody(request, browser, live_server, tables):
    from django.contrib.auth.models import Group
    from django.test import Client

    user = clerk_named(f"{request.param}-wren", password=PASSWORD)
    user.groups.set([Group.objects.get_or_create(name=request.param)[0]])
    user.first_name, user.last_name = "Philippa", "Wrenfield"
    user.save()
    client = Client()
    client.force_login(user)
    context = browser.new_context(base_url=live_server.url)
    context.add_cookies(
        [{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}]
    )
    yield user, context.new_page()
    context.close()


HEIGHT = "document.querySelector('.strip').getBoundingClientRect().height"
WIDER = "document.documentElement.scrollWidth > document.documentElement.clientWidth"


def visible_links(page):
    return page.evaluate(
        "[...document.querySelectorAll('.strip nav a')].filter(a => a.offsetParent)"
        ".map(a => a.getAttribute('href'))"
    )


def test_lines_and_reach(somebody):
    """So many lines at each width, nothing wider than the page, and with the menu open every page, each once."""
    from django.urls import reverse

    user, page = somebody
    wanted = [reverse(p.name) for p in NAVIGATION if may_open(user, p.name)]
    for width, lines in ((1280, 1), (390, 2), (320, 3)):
        page.set_viewport_size({"width": width, "height": 800})
        page.goto("/when/")
        one = page.evaluate("document.querySelector('.strip nav a').getBoundingClientRect().height")
        assert page.evaluate(HEIGHT) < (lines + 0.6) * max(one, 44), width
        assert not page.evaluate(WIDER), width
        page.locator(".menu summary").press("Enter")
        assert not page.evaluate(WIDER), width
        assert sorted(visible_links(page)) == sorted(wanted), width
        page.keyboard.press("Escape")
        assert page.evaluate("document.activeElement.tagName") == "SUMMARY", width
        assert not page.locator(".menu").get_attribute("open"), width
