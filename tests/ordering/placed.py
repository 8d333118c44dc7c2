"""Orders to begin a test with: the quote tests' shop, an accepted quote, and what is made of it."""

from django.contrib.auth import get_user_model
from django.contrib.auth.models import Group

from ordering.events import Who, place_from_quote, send_to_factories
from ordering.expected import forget
from ordering.models import Order
from quotes.desk.accepting import accept
from quotes.desk.drafts import add_line
from quotes.desk.issuing import issue_quote
from quotes.models import Customer
from sizing.models import Factory
from tests.quotes.shop import draft_quote, part_opening, price_specials, set_up

CLERK = Who("ann", "counter")
MANAGER = Who("max", "manager")
STAFF = Who("sam", "staff")
FACTORY = Who("Otter Hollow Millwork", "factory")


def user(name="ann", role="counter"):
    made, _ = get_user_model().objects.get_or_create(
        username=name, defaults={"email": f"{name}@tarnbrook.example"}
    )
    made.groups.add(Group.objects.get_or_create(name=role)[0])
    return made


def load_shop():
    """Sizes in force, prices, the factory's address, the clerk who takes orders."""
    forget()
    set_up()
    Factory.objects.update(email="orders@otterhollow.example", contact="Jo Marsh", region="VT")
    user()


def accepted_quote(*openings, hand=False, **caller):
    """A quote issued and accepted by Mara Quill; `hand` adds a line from the shop's own shelf."""
    issue = draft_quote(*(openings or (part_opening(quantity=3),)), **caller)
    price_specials(issue)
    if hand:
        add_line(issue.pk, "Box of screws", 2, 4)
    Customer.objects.filter(pk=issue.quote.customer_id).update(channel="email")
    issued = issue_quote(issue.pk, "ann")
    names = [sheet["name"] for sheet in issued.document["openings"]]
    accept(issued.pk, name="Mara Quill", ticked=names)
    return issued.quote


def placed_order(*openings, **more) -> Order:
    return place_from_quote(accepted_quote(*openings, **more).pk, CLERK)


def sent_order(*openings, **more):
    """(order, factory order) of an order that has gone to the factory."""
    order = placed_order(*openings, **more)
    lines = [line.pk for line in order.lines.exclude(factory=None)]
    (sent,) = send_to_factories(lines, CLERK)
    order.refresh_from_db()
    return order, sent
