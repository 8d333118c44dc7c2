"""A request whose openings are asked about in one letter, and what a factory's contact types on its page."""

from datetime import timedelta

from django.test import Client
from django.utils import timezone

from quotes.desk.enquiries import ask_all
from quotes.links import factory_address
from quotes.models import Enquiry, Opening, Request
from sizing.models import Factory
from tests.quotes import shop

WINDOWS = ("Stairs", "Landing", "Attic", "Porch", "Pantry")


def request_of(count: int = 3, **caller: str) -> Request:
    """A request with this many unequal splits."""
    names = (WINDOWS * (count // len(WINDOWS) + 1))[:count]
    return shop.take_request(*(shop.cottage_opening(name) for name in names), **caller)


def ask(request: Request) -> list[Enquiry]:
    """All of the one letter, in the order of the openings."""
    (first,) = ask_all(request.pk, Factory.objects.get().pk, by="ann")
    return list(first.in_one_letter())


def address(enquiry: Enquiry) -> str:
    return factory_address(enquiry).split("8000")[-1]


def until() -> str:
    return (timezone.localdate() + timedelta(days=30)).isoformat()


def same(**changed: str) -> dict[str, str]:
    """What is typed once for all of a letter."""
    return {
        "name": "Jo Marsh", "same-currency": "usd", "same-weeks_min": "5", "same-weeks_max": "6",
        "same-valid_until": until(), **changed,
    }  # fmt: skip


def boxes(enquiry: Enquiry, seen: str = "", **typed: str) -> dict[str, str]:
    """One opening's boxes."""
    return {f"{enquiry.pk}-{name}": said for name, said in {"seen": seen, **typed}.items()}


def send(enquiry: Enquiry, *said: dict[str, str]):
    return Client(enforce_csrf_checks=True).post(
        address(enquiry), {name: value for one in said for name, value in one.items()}
    )


def page(enquiry: Enquiry, query: str = "") -> str:
    return Client().get(address(enquiry) + query).content.decode()


def change(opening: Opening, **measures: str) -> None:
    """Somebody mends the opening's measures after the letter went out."""
    opening.said = {**opening.said, **measures}
    opening.save(update_fields=["said"])


def states(request: Request) -> list[str]:
    return [special.state for special in request.specials.order_by("opening__position")]
