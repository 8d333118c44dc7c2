"""Who opens an address that shows nothing gets a page that says so and leads on."""

import pytest
from django.urls import reverse

from tests.access.expected import EXPECTED
from tests.access.shop import PEOPLE

BROWSER = {"Accept": "text/html,application/xhtml+xml"}
# What a button sends to, and no page is at.
BUTTONS = [
    name for name, (read, write) in EXPECTED.items() if read == "-----" and "api" not in name
]


@pytest.mark.parametrize("name", BUTTONS)
def test_an_address_of_a_button(name, client, built, db):
    people, arguments = built
    client.force_login(people[PEOPLE[-1]])
    answer = client.get(reverse(name, args=arguments.get(name, [])), headers=BROWSER)
    assert answer.status_code == 405 and "POST" in answer["Allow"]
    assert "There is no page at this address" in answer.content.decode()
    assert 'href="/"' in answer.content.decode()


def test_a_program_is_answered_without_a_page(client, built, db):
    people, arguments = built
    client.force_login(people[PEOPLE[-1]])
    answer = client.get(reverse("place-order", args=arguments["place-order"]))
    assert answer.status_code == 405 and answer.content == b""


def test_a_visitor_reads_it_in_their_language(client, db):
    answer = client.get("/nowhere/", headers=BROWSER | {"Accept-Language": "es"})
    assert answer.status_code == 404 and 'lang="es"' in answer.content.decode()
