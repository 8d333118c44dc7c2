"""A shop with a factory that can be written to, a cottage split, and the factory's usual answer."""

from datetime import date, timedelta
from decimal import Decimal

from django.contrib.auth.models import Group, User
from django.test import Client
from django.utils import timezone
from moneyed import Money

from quotes.desk.enquiries import ask_about
from quotes.desk.factory_answers import FactoryAnswer, take_answers
from quotes.desk.specials import EnquiryError
from quotes.models import Enquiry, MarginRule, Opening, Special
from sizing.models import Factory
from tests.quotes import shop

FACTORY = "orders@otterhollow.example"


def set_up(check_over: str | None = "900", country: str = "US", region: str = "VT") -> None:
    shop.load_liner()
    Factory.objects.update(email=FACTORY, contact="Jo Marsh", country=country, region=region)
    MarginRule.objects.create(
        currency="USD",
        in_force_from=date(2020, 1, 1),
        percent=Decimal("40"),
        check_over=None if check_over is None else Decimal(check_over),
    )


def cottage(**caller: str) -> Opening:
    return shop.take_request(shop.cottage_opening(), **caller).openings.get()


def asked(**caller: str) -> Enquiry:
    return ask_about(cottage(**caller).pk, by="ann")


def usual_answer(**changed: object) -> FactoryAnswer:
    said = {
        "name": "Jo Marsh",
        "can_be_made": True,
        "unit_cost": Money("100.00", "USD"),
        "weeks_min": 5,
        "weeks_max": 6,
        "valid_until": timezone.localdate() + timedelta(days=30),
        "remarks": "",
    }
    return FactoryAnswer(**{**said, **changed})


def take_answer(enquiry_pk: int, said: FactoryAnswer) -> Special:
    """The factory's answer to one; its special. Raises EnquiryError with why it is not kept."""
    enquiry = Enquiry.objects.get(pk=enquiry_pk)
    refused = take_answers(enquiry, {enquiry_pk: said})
    if refused:
        raise EnquiryError(refused[enquiry_pk])
    return Special.objects.get(pk=enquiry.special_id)


def answered(caller: dict | None = None, **changed: object) -> Special:
    enquiry = asked(**(caller or {}))
    return take_answer(enquiry.pk, usual_answer(**changed))


def happened(special: Special) -> list[str]:
    return [event.what for event in special.events.all()]


def manager() -> Client:
    user = User.objects.create_user("oswin")
    user.groups.add(Group.objects.get_or_create(name="manager")[0])
    client = Client()
    client.force_login(user)
    return client
