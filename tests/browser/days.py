"""What the five people's days begin with: a shop whose factory can be written to, and people at the desk."""

from datetime import date
from decimal import Decimal

from ordering.expected import forget
from quotes.models import MarginRule
from sizing.models import Factory
from tests.ordering.placed import user

FACTORY, CUSTOMER = "orders@otterhollow.example", "mara@quill.example"
PEOPLE = {"counter": "mira", "manager": "oswin", "staff": "sam", "owner": "ida"}


def open_shop() -> None:
    """The factory's address, the margin on its specials, and somebody in each role."""
    forget()
    Factory.objects.filter(name="Otter Hollow Millwork").update(
        email=FACTORY, contact="Jo Marsh", region="VT"
    )
    MarginRule.objects.create(currency="USD", in_force_from=date(2020, 1, 1), percent=Decimal(40))
    for role, name in PEOPLE.items():
        user(name, role)


def whoever(role: str):
    return user(PEOPLE[role], role)
