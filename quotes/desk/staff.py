"""Writes the people at the desk: invited, joined, given a role, switched off and on. One transaction each."""

from __future__ import annotations

import logging
from datetime import timedelta

from django.contrib.auth.models import Group, User
from django.db import transaction
from django.utils import timezone

from quotes.desk.posting import post
from quotes.desk.shop import Account, make_user
from quotes.desk.sign_ins import end_sign_ins, lacks_code
from quotes.letters.desk import invitation_letter
from quotes.links import hash_of, new_nonce, token_of
from quotes.lists.shop import cause_of, role_of, the_shop
from quotes.models import Invitation
from quotes.post import LINK
from sizing.people import name_of
from sizing.roles import ROLES

LASTS = timedelta(days=3)
_log = logging.getLogger("desk.sign_ins")


def _note(words: str, **facts: object) -> None:
    """A line of the log for whoever asks later who let whom in: numbers, no names."""
    _log.info(words, extra={"facts": facts})


class StaffError(ValueError):
    """What cannot be done to a person or an invitation: one sentence, what and how to mend it."""


@transaction.atomic
def invite(name: str, email: str, role: str, by: str) -> Invitation:
    """Ask somebody to the desk by mail; an earlier open invitation of the same address is withdrawn."""
    _check_role(role)
    if User.objects.filter(email__iexact=email, is_active=True).exists():
        raise StaffError(
            f"{email} belongs to somebody at the desk already: change their role instead."
        )
    now = timezone.now()
    Invitation.objects.filter(email__iexact=email, used_at=None, withdrawn_at=None).update(
        withdrawn_at=now
    )
    nonce = new_nonce()
    invitation = Invitation.objects.create(
        name=name,
        email=email,
        role=role,
        nonce=nonce,
        token_hash=hash_of(token_of(nonce)),
        expires_at=now + LASTS,
        invited_by=by,
    )
    _note("invited", invitation=invitation.pk, role=role)
    until = timezone.localtime(invitation.expires_at)
    subject, body = invitation_letter(name, name_of(by), until, the_shop().lines, LINK)
    post(cause=cause_of(invitation), to=email, subject=subject, body=body, by=by)
    return invitation


@transaction.atomic
def withdraw(invitation_pk: int) -> Invitation:
    """Take an invitation back; its link stops working at once."""
    invitation = Invitation.objects.select_for_update().get(pk=invitation_pk)
    if not invitation.is_open:
        raise StaffError(f"The invitation of {invitation.name} is not open any more.")
    invitation.withdrawn_at = timezone.now()
    invitation.save(update_fields=["withdrawn_at"])
    return invitation


@transaction.atomic
def join(invitation_pk: int, account: Account) -> User:
    """Take up an invitation, once. Raises StaffError if it was used, withdrawn or has expired."""
    invitation = Invitation.objects.select_for_update().get(pk=invitation_pk)
    if not invitation.is_open:
        raise StaffError("This invitation was used or withdrawn meanwhile: ask for a new one.")
    user = make_user(account, invitation.role)
    invitation.user, invitation.used_at = user, timezone.now()
    invitation.save(update_fields=["user", "used_at"])
    _note("joined", user=user.pk, invitation=invitation.pk, role=invitation.role)
    return user


@transaction.atomic
def give_role(user_pk: int, role: str, by: User) -> User:
    """Put a user into one role, out of every other. An owner remains: the last one stays it."""
    _check_role(role)
    user = _person(user_pk)
    if role != "owner":
        _check_not_last_owner(user)
    user.groups.remove(*Group.objects.filter(name__in=ROLES))
    user.groups.add(Group.objects.get_or_create(name=role)[0])
    if lacks_code(user):
        # The next sign-in leads to setting one up.
        end_sign_ins(user)
    _note("role given", user=user.pk, role=role, by=by.pk)
    return user


@transaction.atomic
def switch(user_pk: int, on: bool, by: User) -> User:
    """Let a user sign in or not. Switched off, their open pages stop working at once."""
    user = _person(user_pk)
    if not on:
        if user.pk == by.pk:
            raise StaffError("You can't switch yourself off: another owner has to do it.")
        _check_not_last_owner(user)
    user.is_active = on
    user.save(update_fields=["is_active"])
    _note("switched on" if on else "switched off", user=user.pk, by=by.pk)
    return user


def _person(user_pk: int) -> User:
    # Every change of owners waits for this row, so two owners can't switch each other off.
    Group.objects.get_or_create(name="owner")
    Group.objects.select_for_update().get(name="owner")
    return User.objects.select_for_update().get(pk=user_pk)


def _check_role(role: str) -> None:
    if role not in ROLES:
        raise StaffError(f"“{role}” is no role: choose one of {', '.join(ROLES)}.")


def _check_not_last_owner(user: User) -> None:
    if role_of(user) != "owner" or not user.is_active:
        return
    others = User.objects.filter(is_active=True).exclude(pk=user.pk)
    if not (others.filter(groups__name="owner") | others.filter(is_superuser=True)).exists():
        raise StaffError(
            f"{user.get_full_name() or user} is the only owner: make another one first."
        )
