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


@pytest.mark.parametrize("accept", [{}, BROWSER])
@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE"])
def test_what_a_page_does_not_take(method, accept, client, built, db):
    """What was sent, what is taken instead, and that nothing came of it; for a script as for a browser."""
    people, _arguments = built
    client.force_login(people[PEOPLE[-1]])
    answer = client.generic(method, reverse("requests"), headers=accept)
    assert answer.status_code == 405 and answer["Allow"] == "GET, HEAD"
    page = answer.content.decode()
    assert f"This address takes GET, HEAD, not {method}: nothing was changed." in page


def test_a_script_that_opens_a_button(client, built, db):
    people, arguments = built
    client.force_login(people[PEOPLE[-1]])
    answer = client.get(reverse("place-order", args=arguments["place-order"]))
    assert answer.status_code == 405 and b"There is no page at this address" in answer.content


def test_a_visitor_reads_what_is_taken_in_their_language(client, db):
    answer = client.put("/sign-in/", headers={"Accept-Language": "es"})
    assert answer.status_code == 405 and answer["Content-Language"] == "es"
    assert "GET, HEAD, POST" in answer.content.decode()
    assert "nothing was changed" not in answer.content.decode()


def test_a_visitor_reads_it_in_their_language(client, db):
    answer = client.get("/nowhere/", headers=BROWSER | {"Accept-Language": "es"})
    assert answer.status_code == 404 and 'lang="es"' in answer.content.decode()
