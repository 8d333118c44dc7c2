"""Every page a browser shows, taken from the URL patterns, so that a new one is never forgotten."""

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager

from django.test import Client
from django.urls import reverse
from playwright.sync_api import Browser, Page

from config.access import KEY, NO, RULES, may_open
from tests.access.addresses import addresses

# There only within a sign-in, before anybody has set the shop up, or when something typed was kept.
LEADS_ON = {"sign-in-code", "setup", "counter-kept", "kept"}


def readable(person) -> list[str]:
    """Names of all addresses that this person (None: nobody) may read, in the order of the patterns."""
    from django.contrib.auth.models import AnonymousUser

    user = person or AnonymousUser()
    return [
        name
        for name, route in addresses().items()
        # An address with a dot gives a file; a program's key opens no page.
        if "." not in route and RULES[name].read not in (NO, KEY) and may_open(user, name)
    ]


def pages(person, arguments: Mapping[str, list]) -> dict[str, str]:
    """{name: address} of what opens as a page for this person.

    Files, data for programs and pieces that a page fetches into itself are none.
    """
    client = client_of(person)
    found = {}
    for name in readable(person):
        address = reverse(name, args=arguments.get(name, []))
        answer = client.get(address)
        if answer.status_code == 302 and name in LEADS_ON:
            continue
        if b"<html" in answer.content[:200]:
            assert answer.status_code == 200, f"{name}: {address} answers {answer.status_code}"
            found[name] = address
    return found


def client_of(person) -> Client:
    client = Client(SERVER_NAME="localhost")
    if person:
        client.force_login(person)
    return client


@contextmanager
def signed_in(browser: Browser, site: str, person, **more) -> Iterator[Page]:
    """A page of a browser of its own in which this person (None: nobody) is signed in."""
    context = browser.new_context(base_url=site, **more)
    if person:
        key = client_of(person).cookies["sessionid"].value
        context.add_cookies([{"name": "sessionid", "value": key, "url": site}])
    yield context.new_page()
    context.close()


def come(page: Page, told: list, many: int = 1) -> None:
    """Wait until the page has told so many things (requests held back, words on its console)."""
    for _ in range(1000):
        if len(told) >= many:
            return
        page.wait_for_timeout(20)
    raise AssertionError(f"only {len(told)} came")


def bodies(person, found: Mapping[str, str]) -> dict[str, str]:
    """{name: what is in the page's main part}, without what differs each time it is asked for."""
    client = client_of(person)
    texts = {name: client.get(address).content.decode() for name, address in found.items()}
    return {name: _lasting(text.partition("<main")[2]) for name, text in texts.items()}


def _lasting(text: str) -> str:
    return re.sub(r'name="(csrfmiddlewaretoken|page)" value="[^"]*"', "", text)
