"""Specials in the harness's day: a clerk asks a factory about all of a request, and its contact answers by the link."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import timedelta

from tests.faults.people import Person, Step

ASKED, ANSWERED = "specials asked", "specials answered"
WINDOWS = 3


def requests_to_ask(count: int) -> list[int]:
    """So many requests of three unequal splits each; their keys."""
    from tests.quotes.letters import request_of

    return [request_of(WINDOWS, caller=f"Ida Lorne {n}", email="").pk for n in range(count)]


def enquiry(request: int, clerk: Person, factory: Person) -> Iterator[Step]:
    from quotes.links import factory_address
    from quotes.models import Enquiry, Letter
    from sizing.models import Factory
    from tests.quotes import letters

    def comes_to(prices: tuple[int, ...]) -> tuple:
        return tuple(enumerate(prices, 1)), ""

    asked = Enquiry.objects.filter(special__request=request).order_by("pk")
    written = Letter.objects.filter(enquiry__special__request=request).exists
    path = f"/requests/{request}/ask/{Factory.objects.get().pk}/"
    yield Step(
        (ASKED, request), clerk, path, lambda: [("from-list", 1)], written, says=comes_to((1,) * WINDOWS)
    )  # fmt: skip
    page = "/" + factory_address(asked[0]).split("/", 3)[3]
    prices = tuple(100 + request % 7 + at for at in range(WINDOWS))
    typed = dict(letters.same(**{"same-valid_until": _far_day()}))
    for one, price in zip(asked, prices, strict=True):
        typed |= letters.boxes(one, unit_cost=str(price))
    done = asked.exclude(answered_at=None).exists
    yield Step(
        (ANSWERED, request), factory, page, lambda: list(typed.items()), done, says=comes_to(prices)
    )  # fmt: skip


def _far_day() -> str:
    """Past none of the clocks that jump."""
    from django.utils import timezone

    return (timezone.localdate() + timedelta(400)).isoformat()


def enquiry_acts() -> Counter:
    """How often each was done: a letter a request, an answer in the history of each opening."""
    from quotes.models import Letter, SpecialEvent

    found: Counter = Counter()
    asked = Letter.objects.filter(cause__endswith=" asked").exclude(enquiry=None)
    for request in asked.values_list("special__request", flat=True):
        found[ASKED, request] += 1
    answers: Counter = Counter(
        SpecialEvent.objects.filter(what="factory answered")
        .order_by()
        .values_list("special__request", "special")
    )
    for (request, _), times in answers.items():
        found[ANSWERED, request] = max(found[ANSWERED, request], times)
    return found


def enquiry_said() -> dict[tuple, tuple]:
    """Of each request: how often each opening was asked about, and at what price each was answered."""
    from quotes.models import Enquiry

    asked: dict[int, Counter] = {}
    prices: dict[int, dict[int, int]] = {}
    for one in Enquiry.objects.select_related("special__opening"):
        request, place = one.special.request_id, one.special.opening.position + 1
        asked.setdefault(request, Counter())[place] += 1
        if one.unit_cost:
            prices.setdefault(request, {})[place] = int(one.unit_cost.amount)
    found = {(ASKED, key): (tuple(sorted(counts.items())), "") for key, counts in asked.items()}
    return found | {(ANSWERED, key): (tuple(sorted(p.items())), "") for key, p in prices.items()}
