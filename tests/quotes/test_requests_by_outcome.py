"""Requests are found by how their openings came out, few or common, and the outcome follows every answer."""

import pytest

from quotes import searched
from quotes.find_forms import RequestsFind
from quotes.lists.requests import outcomes_of, requests_asked_for
from quotes.models import Opening, Request
from sizing.models import Family
from tests.quotes import shop

pytestmark = pytest.mark.django_db


@pytest.fixture
def five():
    """Requests whose openings came out so."""
    shop.load_liner()
    family = Family.objects.first()
    kinds = [["part"], ["ask", "part"], ["special"], ["special", "ask"], []]
    made = []
    for outcomes in kinds:
        request = Request.objects.create(caller="Ines Calloway")
        for place, outcome in enumerate(outcomes):
            answer = {"outcome": outcome}
            request.openings.create(position=place, family=family, answer=answer)
        made.append(request)
    return made


def found(stands):
    return list(requests_asked_for(RequestsFind({"stands": stands}).said).every())


@pytest.mark.parametrize(("common", "a_page"), [(1000, 251), (1, 251), (1, 0)])
@pytest.mark.parametrize(
    ("stands", "places"), [("ask", [3, 1]), ("special", [3, 2]), ("error", [])]
)
def test_found(five, stands, places, common, a_page, monkeypatch):
    """The newest first, whether few, many or most of all came out so."""
    monkeypatch.setattr(searched, "COMMON", common)
    monkeypatch.setattr(searched, "A_PAGE", a_page)
    assert found(stands) == [five[place] for place in places]


def test_counted(five):
    assert {key: sorted(said) for key, said in outcomes_of(five).items()} == {
        five[0].pk: ["part"], five[1].pk: ["ask", "part"], five[2].pk: ["special"],
        five[3].pk: ["ask", "special"],
    }  # fmt: skip


def test_follows_the_answer(five):
    """An answer written anew, in whatever way, is found as what it is now."""
    opening = five[0].openings.get()
    opening.answer = {"outcome": "ask"}
    opening.save()
    assert found("ask")[-1] == five[0]
    Opening.objects.filter(pk=opening.pk).update(answer={})
    assert five[0] not in found("ask")
