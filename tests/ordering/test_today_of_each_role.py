"""Each role's first page holds its own work, and no link that the role may not follow."""

import re

import pytest
from django.contrib.auth.models import AnonymousUser
from django.test import Client
from django.urls import resolve

from config.access import may_open
from ordering.lists.today import start_of_day
from tests.ordering.placed import accepted_quote, load_shop, placed_order, sent_order, user
from tests.quotes.shop import cottage_opening, draft_quote, part_opening, take_request

pytestmark = pytest.mark.django_db

HEADINGS = {
    "counter": [
        "Calls to finish", "Quotes asked about", "Quotes to send", "Accepted, to be ordered",
        "Lines for the factories", "Quotes lapsing", "Customers to call", "Factories ask or refuse",
    ],
    "manager": [
        "Specials waiting", "Answers on specials overdue", "Factories ask or refuse", "Factories silent", "Late risks",
        "Quotes asked about", "Mail that fails", "Quotes lapsing", "Size tables to put in force",
    ],
    "staff": ["Late risks", "Customers to call", "Factories silent"],
}  # fmt: skip


def page_of(role):
    client = Client()
    client.force_login(user("kay", role))
    return client.get("/").content.decode()


@pytest.mark.parametrize("role", HEADINGS)
def test_its_own_work(role):
    """What a role is shown is what it works on, in that order."""
    assert [heading.words for heading in start_of_day({role})] == HEADINGS[role]


def test_two_roles_once():
    """Somebody with two roles has the work of both, nothing twice; an owner has everything."""
    both = [heading.words for heading in start_of_day({"counter", "manager"})]
    assert sorted(both) == sorted({*HEADINGS["counter"], *HEADINGS["manager"]})
    assert [heading.words for heading in start_of_day({"owner"})] == both


@pytest.mark.parametrize("role", ["counter", "manager", "staff"])
def test_every_link_opens(role):
    """Every address on the page is one that the role may open."""
    load_shop()
    take_request(part_opening())
    take_request(cottage_opening())
    draft_quote(part_opening())
    accepted_quote()
    placed_order()
    sent_order()
    page = page_of(role)
    person = user("kay", role)
    links = set(re.findall(r'href="(/[^"#?]*)"', page)) - {"/static"}
    links = {link for link in links if not link.startswith("/static/")}
    assert len(links) > 4
    assert [link for link in links if not may_open(person, resolve(link).url_name)] == []
    assert not may_open(AnonymousUser(), "home")


@pytest.mark.parametrize(("role", "first"), [("counter", "Take a call"), ("staff", 'name="q"')])
def test_first_step(role, first):
    """The keyboard begins where the role's day begins: the counter's call, the others' question."""
    (focused,) = re.findall(r"<[^>]* autofocus>[^<]*", page_of(role))
    assert first in focused
