"""Every address, asked for by everybody with every method, answers as tests/access/expected.py says."""

from copy import deepcopy
from http.cookies import SimpleCookie

import pytest
from django.db import transaction
from django.test import Client
from django.urls import NoReverseMatch, reverse

from config.access import RULES
from quotes.views.counter_openings import SIGNED_OUT
from tests.access import shop
from tests.access.addresses import addresses, every_address
from tests.access.expected import EXPECTED
from tests.access.shop import PEOPLE

ADDRESSES = addresses()
# What a view may answer to a form that holds nothing: done, go on, or what is wrong with it.
TAKEN = {200, 204, 302, 303, 400, 404, 409, 422}


@pytest.fixture(scope="module")
def builder():
    """Everybody is signed in once: signing in took as long as what they then ask for."""

    def build():
        people = shop.people()
        for person in filter(None, people.values()):
            person.cookies = signed_in(person)
        return people, shop.arguments()

    return build


def signed_in(person) -> SimpleCookie:
    client = Client()
    client.force_login(person)
    return client.cookies


@pytest.mark.parametrize("name", ADDRESSES)
def test_nothing_forgotten(name):
    """Every address has a rule in config/access.py and an expected answer; none is forgotten."""
    words = f"The address “{name}” ({ADDRESSES[name]})"
    assert name in RULES, (
        f'{words} has no rule. Add a line to RULES in config/access.py, such as "{name}": Rule(DESK) '
        "for a page the counter and the manager read, or Rule(write=DESK) for a form they send."
    )
    assert name in EXPECTED, (
        f"{words} has no expected answers. Add a line to tests/access/expected.py, such as "
        f'"{name}": ("sxooo", "-----"): GET and POST, a letter each for {", ".join(PEOPLE)}.'
    )


def test_no_name_twice():
    """A rule is found by its address's name: a second address of that name would be let in by it, and never tried."""
    routes: dict[str, list[str]] = {}
    for name, route in every_address():
        routes.setdefault(name, []).append(route)
    assert {name: given for name, given in routes.items() if len(given) > 1} == {}


def test_no_rule_without_its_address():
    """A rule or an expected answer of an address that is gone is deleted with it."""
    assert set(RULES) - set(ADDRESSES) == set()
    assert set(EXPECTED) - set(ADDRESSES) == set()


def answer(response) -> str:
    """The letter of expected.py; a status that is none of them, as it is."""
    if response.status_code == 302 and response.url.startswith(reverse("sign-in")):
        return "s"
    if SIGNED_OUT in response.content.decode(errors="replace"):
        return "w"
    known = {405: "-", 403: "x", 401: "k"}
    if response.status_code in known:
        return known[response.status_code]
    read = response.wsgi_request.method in ("GET", "HEAD")
    return (
        "o"
        if response.status_code in ({200, 302} if read else TAKEN)
        else str(response.status_code)
    )


def ask(person, method: str, address: str):
    """What this person gets; whatever it changed is undone."""
    client = Client(raise_request_exception=False)
    if person:
        client.cookies = deepcopy(person.cookies)
    mark = transaction.savepoint()
    try:
        response = client.generic(method, address)
        response.content = b"".join(response) if response.streaming else response.content
        return response
    finally:
        transaction.savepoint_rollback(mark)


def address_of(name: str, arguments: dict[str, list]) -> str:
    try:
        return reverse(name, args=arguments.get(name, []))
    except NoReverseMatch:
        pytest.fail(f"{ADDRESSES[name]}: say in tests/access/shop.py what stands for its parts.")


@pytest.mark.parametrize("name", sorted(set(ADDRESSES) & set(EXPECTED)))
def test_answers(name, built, db):
    """Nobody, staff, counter, manager and owner get the expected answer to GET, POST and DELETE."""
    people, arguments = built
    address = address_of(name, arguments)
    found = tuple(
        "".join(answer(ask(people[who], method, address)) for who in PEOPLE)
        for method in ("GET", "POST", "DELETE")
    )
    assert found == (*EXPECTED[name], "-----")


@pytest.mark.parametrize("name", sorted(set(ADDRESSES) & set(EXPECTED)))
def test_any_other_method(name, built, db):
    """HEAD is let in where GET is, but for a program's calls; what else may be sent is refused to the owner, too."""
    people, arguments = built
    address = address_of(name, arguments)
    head = "".join(answer(ask(people[who], "HEAD", address)) for who in PEOPLE)
    assert head == ("-----" if "k" in EXPECTED[name][0] else EXPECTED[name][0])
    others = ("PUT", "PATCH", "OPTIONS", "TRACE", "BREW")
    assert {
        method: answer(ask(people["owner"], method, address)) for method in others
    } == dict.fromkeys(others, "-")


@pytest.mark.parametrize("name", sorted(set(ADDRESSES) & set(EXPECTED)))
def test_without_a_role(name, built, db, django_user_model):
    """Somebody signed in to whom no role was given opens nothing of the shop's."""
    address = address_of(name, built[1])
    new = django_user_model.objects.create_user("new-person")
    new.cookies = signed_in(new)
    for method, cell in zip(("GET", "POST"), EXPECTED[name], strict=True):
        open_to_all = len(set(cell)) == 1
        assert answer(ask(new, method, address)) == (cell[0] if open_to_all else "x")
