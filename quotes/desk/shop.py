"""Writes the shop: set up once on a fresh install, then kept up by its owner. One transaction each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.contrib.auth.models import Group, User
from django.db import transaction

from quotes.lists.shop import nobody_yet
from quotes.models import Shop
from sizing.roles import ROLES


class SetUpError(Exception):
    """The install has its first user already: whoever comes second has to sign in."""


@dataclass(frozen=True)
class Account:
    """What a person types to be able to sign in. The password has been checked."""

    name: str
    username: str
    email: str
    password: str


@transaction.atomic
def set_up(facts: Mapping[str, str], account: Account) -> User:
    """The shop and its owner, once. Raises SetUpError when somebody can sign in already."""
    Shop.objects.get_or_create(pk=Shop.ONLY)
    # Two first users at the same instant wait for each other here, and one of them finds the other.
    shop = Shop.objects.select_for_update().get(pk=Shop.ONLY)
    if not nobody_yet():
        raise SetUpError("The shop is set up already: sign in.")
    _fill(shop, facts)
    for role in ROLES:
        Group.objects.get_or_create(name=role)
    return make_user(account, "owner")


@transaction.atomic
def keep_shop(facts: Mapping[str, str]) -> Shop:
    """Store what was said of the shop; facts left out stay as they are."""
    Shop.objects.get_or_create(pk=Shop.ONLY)
    return _fill(Shop.objects.select_for_update().get(pk=Shop.ONLY), facts)


def _fill(shop: Shop, facts: Mapping[str, str]) -> Shop:
    for name, text in facts.items():
        setattr(shop, name, text)
    shop.save()
    return shop


def make_user(account: Account, role: str) -> User:
    """A user in one role. Inside a transaction of the caller's."""
    first, _, last = account.name.partition(" ")
    user = User.objects.create_user(
        account.username,
        account.email,
        account.password,
        first_name=first[:150],
        last_name=last[:150],
    )
    user.groups.set([Group.objects.get_or_create(name=role)[0]])
    return user
