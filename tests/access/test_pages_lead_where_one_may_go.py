"""The navigation, and every link and form on every page, lead only where the role may go."""

import re
from html import unescape
from urllib.parse import urlsplit

import pytest
from django.test import Client
from django.urls import resolve

from tests.access.expected import EXPECTED
from tests.access.shop import PEOPLE

SIGNED_IN = PEOPLE[1:]


def client_of(person) -> Client:
    client = Client(raise_request_exception=False)
    client.force_login(person)
    return client


def links_of(page) -> set[tuple[str, str]]:
    """{(method, path)} of the links and forms of a page."""
    html = page.content.decode()
    links = re.findall(r'<a [^>]*href="([^"]+)"', html)
    forms = re.findall(r'<form [^>]*method="post"[^>]*action="([^"]+)"', html)
    found = {("GET", unescape(link)) for link in links} | {
        ("POST", unescape(form)) for form in forms
    }
    return {
        (method, urlsplit(link).path or page.wsgi_request.path)
        for method, link in found
        if not urlsplit(link).netloc and not urlsplit(link).scheme
    }


@pytest.mark.parametrize("role", SIGNED_IN)
def test_navigation(role, built, db):
    """It shows no page that the role may not open, and each it shows opens."""
    client = client_of(built[0][role])
    shown = re.search(r"<nav .*?</nav>", client.get("/").content.decode(), re.DOTALL)[0]
    addresses = re.findall(r'href="([^"]+)"', shown)
    assert len(addresses) >= 4
    names = [resolve(address).view_name for address in addresses]
    assert [EXPECTED[name][0][PEOPLE.index(role)] for name in names] == ["o"] * len(names)
    assert {client.get(address).status_code for address in addresses} == {200}


@pytest.mark.parametrize("role", SIGNED_IN)
def test_every_link(role, built, db):
    """From page to page, as far as it goes: no link and no form ends at "not for your role"."""
    client, person = client_of(built[0][role]), PEOPLE.index(role)
    seen, waiting, refused = {"/"}, ["/"], {}
    while waiting:
        address = waiting.pop()
        page = client.get(address, follow=True)
        if not page["Content-Type"].startswith("text/html"):
            continue
        for method, path in links_of(page):
            name = resolve(path).view_name
            if EXPECTED[name][method == "POST"][person] == "x":
                refused.setdefault(f"{method} {name}", resolve(address).view_name)
            elif method == "GET" and path not in seen and name != "sign-out":
                seen.add(path)
                waiting.append(path)
    assert refused == {}, "{what it leads to: the page it stands on}"
    assert len(seen) > 8
