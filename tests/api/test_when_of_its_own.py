"""When will it ship? A program is answered about the lines of its own orders, and of nobody else's."""

import pytest
from django.utils import timezone

from ordering.events import Who, place_from_quote, send_to_factories, shipped
from ordering.expected import forget
from ordering.models import Order, PastOrder
from quotes.desk.accepting import accept
from quotes.desk.drafts import Head, change_head
from quotes.desk.issuing import issue_quote
from quotes.models import Quote
from sizing.models import Factory, Family
from tests.api.test_news import LEFT

pytestmark = pytest.mark.django_db
CLERK = Who("ann", "counter")


def order_of(program) -> Order:
    number = program.post("/requests", LEFT).json()["number"]
    asked = program.post(f"/requests/{number}/quote").json()
    quote = Quote.objects.get(pk=int(asked["quotes"][0]["number"]))
    issue = quote.issues.get()
    change_head(issue.pk, Head(None, True, None, "", 30))
    issued = issue_quote(issue.pk, "ann")
    names = [sheet["name"] for sheet in issued.document["openings"]]
    accept(issued.pk, name="Ines Calloway", ticked=names)
    return place_from_quote(quote.pk, CLERK)


def asked(program, *references) -> list[dict]:
    questions = [{"reference": reference} for reference in references]
    return program.post("/when", {"questions": questions}).json()["answers"]


@pytest.fixture(autouse=True)
def unlearned():
    forget()


def test_only_its_own(web_shop, till):
    """Another's line is as unknown as one that is not there, by the same sentence."""
    mine, theirs = order_of(web_shop), order_of(till)
    own, other, none = asked(web_shop, f"{mine.number}/1", f"{theirs.number}/1", "C-99999/1")
    assert own["earliest"] and own["error"] is None
    assert other["earliest"] is None
    assert other["error"].replace(theirs.number, "C-99999") == none["error"]
    assert asked(till, f"{theirs.number}/1")[0]["earliest"] == own["earliest"]


def test_not_of_the_shops_past(web_shop):
    """What was imported, no program has made."""
    day = timezone.localdate()
    family = Family.objects.get(code="otter-liner")
    PastOrder.objects.create(reference="K-0047110/2", family=family, quantity=1, ordered_on=day)
    (answer,) = asked(web_shop, "K-0047110/2")
    assert answer["earliest"] is None and "is known" in answer["error"]


def test_its_own_that_has_left(web_shop, till):
    """A line that left and is among the past by now is its own still, and nobody else's."""
    order = order_of(web_shop)
    line = order.lines.get()
    Factory.objects.update(email="orders@otterhollow.example")
    (sent,) = send_to_factories([line.pk], CLERK)
    today = timezone.localdate()
    shipped(sent.pk, {line.pk: 1}, today, Who("Otter Hollow Millwork", "factory"))
    reference = f"{order.number}/1"
    assert PastOrder.objects.filter(reference=reference).exists()
    assert asked(web_shop, reference)[0]["latest"] == today.isoformat()
    assert "is known" in asked(till, reference)[0]["error"]
