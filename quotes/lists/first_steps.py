"""What a shop has set up and what it still lacks before its first quote goes out, one step each."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlsplit

from django.conf import settings
from django.contrib.auth.models import User
from django.urls import reverse
from django.utils import timezone

from quotes.lists.shop import mail_is_kept, the_shop
from quotes.models import FreightStep, Invitation, TaxRate
from sizing.lookup import all_in_force
from sizing.models import Factory

_OWN_MACHINE = ("localhost", "127.0.0.1", "::1")


@dataclass(frozen=True)
class Step:
    """One thing to see to: how it stands in a sentence, whether that is enough, and where it is done."""

    name: str
    stands: str
    done: bool
    url: str = ""
    way: str = ""


def first_steps() -> list[Step]:
    """In the order in which a shop needs them."""
    return [_tables(), _shop(), _factories(), _prices(), _mail(), _links(), _clock(), _people()]


def _tables() -> Step:
    names = [revision.family.name for revision in all_in_force()]
    return Step(
        "Size tables",
        f"In force: {', '.join(names)}." if names else "None is in force, so no call can be answered.",
        bool(names),
        reverse("size-tables"),
        "Size tables",
    )  # fmt: skip


def _shop() -> Step:
    shop = the_shop()
    said = {"address": shop.address, "phone": shop.phone, "e-mail address": shop.email}
    lacking = [name for name, value in said.items() if not value]
    stands = "Address, phone and e-mail stand on what goes out."
    if lacking:
        stands = f"What goes out has no {' and no '.join(lacking)}; customers are asked to call or to write."
    return Step("The shop", stands, not lacking, reverse("shop"), "The shop")


def _factories() -> Step:
    silent = list(Factory.objects.filter(email="").order_by("name"))
    if silent:
        names = ", ".join(factory.name for factory in silent)
        stands = f"Without an e-mail address, so orders are called through and no enquiry can be sent: {names}."
        return Step(
            "Factories", stands, False, reverse("factory", args=[silent[0].pk]), silent[0].name
        )
    known = Factory.objects.exists()
    stands = (
        "Each has an e-mail address." if known else "They come with the first workbook of each."
    )
    return Step("Factories", stands, known)


def _prices() -> Step:
    lacking = []
    if not FreightStep.objects.exists():
        lacking.append("freight (it is asked for with every quote)")
    if not TaxRate.objects.exists():
        lacking.append("sales tax (quotes say that it is not worked out)")
    stands = (
        f"Not kept yet: {' and '.join(lacking)}." if lacking else "Freight and sales tax are kept."
    )
    return Step(
        "Freight, tax and terms", stands, not lacking, reverse("prices"), "Prices, freight and tax"
    )


def _mail() -> Step:
    sender = settings.DEFAULT_FROM_EMAIL
    if mail_is_kept():
        stands = (
            f"Not sent: each mail is written to a file in {settings.EMAIL_FILE_PATH}. "
            "Start the desk with EMAIL_HOST and DEFAULT_FROM_EMAIL set to have it sent."
        )
        return Step("Mail", stands, False)
    if sender.endswith(".example"):
        stands = f"Sent from {sender}, which is nobody's address: set DEFAULT_FROM_EMAIL to one of the shop's."
        return Step("Mail", stands, False)
    return Step("Mail", f"Sent by {settings.EMAIL_HOST}, from {sender}.", True)


def _links() -> Step:
    host = urlsplit(settings.SITE_URL).hostname or ""
    if host in _OWN_MACHINE:
        stands = (
            f"They begin with {settings.SITE_URL}, which opens on this machine only: set SITE_URL to "
            "the address under which customers and factories reach the desk."
        )
        return Step("Links in mails", stands, False)
    return Step("Links in mails", f"They begin with {settings.SITE_URL}.", True)


def _clock() -> Step:
    now = f"It is {timezone.localtime():%H:%M} here, in {settings.TIME_ZONE}."
    if settings.TIME_ZONE == "UTC":
        now += " If that is not the time on your wall, set TIME_ZONE, such as America/New_York: days begin and end by it."
        return Step("Clock", now, False)
    return Step("Clock", now, True)


def _people() -> Step:
    people = User.objects.filter(is_active=True).count()
    invited = Invitation.objects.filter(
        used_at=None, withdrawn_at=None, expires_at__gt=timezone.now()
    ).count()
    stands = f"Can sign in: {people}; invited: {invited}."
    return Step("People at your desk", stands, people > 1, reverse("staff"), "Invite people")
