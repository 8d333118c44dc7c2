"""Reads the shop and the people at its desk."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from email.headerregistry import Address
from email.utils import parseaddr

from django.conf import settings
from django.contrib.auth.models import User
from django.db.models import Exists, OuterRef
from django.http import HttpRequest
from django.utils.functional import SimpleLazyObject

from quotes.links import hash_of
from quotes.models import CodeMaker, Integration, Invitation, Letter, Shop
from sizing.remembered import remembered
from sizing.roles import foremost

# Roles from who may do most to who may do least.


def the_shop() -> Shop:
    """The shop as it is kept; before it is set up, one that only says where its mail comes from."""
    kept = Shop.objects.filter(pk=Shop.ONLY).first()
    return kept or Shop(
        pk=Shop.ONLY, name="Sashdesk", email=settings.DEFAULT_FROM_EMAIL, country=""
    )


def home_country() -> str:
    """Where a phone number or an address lies that names no country: two letters of ISO 3166."""
    return the_shop().country or "US"


def mail_is_kept() -> bool:
    """Whether mail is written to files instead of being sent, as in a demo."""
    return settings.EMAIL_BACKEND.endswith("filebased.EmailBackend")


def sender(shop: Shop) -> str:
    """Who mail is from: the address that the desk sends with, under the shop's name unless it has one of its own."""
    name, address = parseaddr(settings.DEFAULT_FROM_EMAIL)
    return str(Address(name or shop.name, addr_spec=address))


def desk_address(username: str) -> str:
    """Where mail to the desk should go: to the clerk, or to the shop if they have no address or have left."""
    user = User.objects.filter(username=username, is_active=True).only("email").first()
    return (user.email if user else "") or the_shop().email


def now_read(address: str, shop: Shop) -> str:
    """An address of the desk as mail goes out that may have waited: the shop's, if whoever has it has left since."""
    at_the_desk = User.objects.filter(email__iexact=address).values_list("is_active", flat=True)
    left = [not active for active in at_the_desk]
    return shop.email if left and all(left) else address


@remembered(Shop)
def _named_on_pages() -> Shop:
    return the_shop()


def for_pages(request: HttpRequest) -> dict[str, object]:
    """Context of every page: `shop`, read only where a page shows it; `mail_is_kept`, see there."""
    return {"shop": SimpleLazyObject(_named_on_pages), "mail_is_kept": mail_is_kept()}


def nobody_yet() -> bool:
    """Whether this is a fresh install: nobody can sign in, so the first person sets it up."""
    return not User.objects.exists()


@dataclass(frozen=True)
class Person:
    """One person at the desk. `role` is empty for somebody whom no role was given yet."""

    user: User
    role: str
    is_self: bool

    @property
    def name(self) -> str:
        return self.user.get_full_name() or self.user.get_username()


def people_at_the_desk(by: User, said: Mapping[str, str]) -> list[Person]:
    """Everybody in the role and with the sign-in asked for ("": any), those switched off last."""
    coded = CodeMaker.objects.filter(user=OuterRef("pk"), confirmed=True)
    users = User.objects.prefetch_related("groups").annotate(has_code=Exists(coded))
    users = users.order_by("-is_active", "first_name", "username")
    if said["sign_in"]:
        users = users.filter(is_active=said["sign_in"] == "on")
    people = [Person(user, role_of(user), user.pk == by.pk) for user in users]
    return [person for person in people if said["role"] in ("", person.role)]


def role_of(user: User) -> str:
    """The role that lets the user do most."""
    if user.is_superuser:
        return "owner"
    return foremost(group.name for group in user.groups.all())


@dataclass(frozen=True)
class Asked:
    """An invitation with the letter that carries it."""

    invitation: Invitation
    letter: Letter | None


def open_invitations() -> list[Asked]:
    """Those that can still be taken up, the newest first."""
    waiting = [i for i in Invitation.objects.filter(used_at=None, withdrawn_at=None) if i.is_open]
    letters = {
        letter.cause: letter
        for letter in Letter.objects.filter(cause__in=[cause_of(i) for i in waiting])
    }
    return [Asked(i, letters.get(cause_of(i))) for i in waiting]


def cause_of(invitation: Invitation) -> str:
    """What its letter is known by (see `desk.posting`)."""
    return f"invitation {invitation.pk}"


def find_integration(key: str) -> Integration | None:
    """The program that a key of the API belongs to, unless it is switched off."""
    return Integration.objects.filter(key_hash=hash_of(key), switched_off_at=None).first()
