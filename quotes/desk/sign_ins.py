"""Writes how people sign in besides their password, and where they are signed in. One transaction each.

Codes are those of RFC 6238, kept by django-otp: one that was used is never taken again, and each wrong
one doubles the wait before the next is looked at.
"""

from __future__ import annotations

import hmac
import logging
import secrets
from base64 import b32encode, urlsafe_b64encode
from datetime import datetime

from django.conf import settings
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session
from django.db import transaction
from django.utils import timezone
from django_otp.plugins.otp_static.models import StaticDevice, StaticToken

from quotes.lists.shop import role_of, the_shop
from quotes.models import CodeMaker, SignIn

RECOVERY_CODES = 10
_log = logging.getLogger("desk.sign_ins")


def has_code(user: User) -> bool:
    """Whether this person signs in with a code besides the password."""
    return CodeMaker.objects.filter(user=user, confirmed=True).exists()


def must_have_code(user: User) -> bool:
    """Whether the shop asks people in this person's role to sign in with a code."""
    asked = {"owner": {"owner"}, "manager": {"owner", "manager"}}.get(the_shop().code_required, ())
    return role_of(user) in asked


def lacks_code(user: User) -> bool:
    """Whether this person has to set up a code before anything else."""
    return must_have_code(user) and not has_code(user)


def ask_for_codes(but: User) -> int:
    """End the sign-ins of whoever lacks a code, so that the next one asks for it; how many ended."""
    if not the_shop().code_required:
        return 0
    people = User.objects.filter(is_active=True).exclude(pk=but.pk).prefetch_related("groups")
    return sum(end_sign_ins(user) for user in people if lacks_code(user))


def app_address(user: User, key: str, shop: str) -> str:
    """What the app reads from the picture: an otpauth address with the secret in it."""
    return CodeMaker(user=user, key=key).address(shop.replace(":", " "))


def secret_words(user: User, key: str) -> str:
    """The secret in groups of four letters, to be typed where no picture can be read."""
    text = b32encode(CodeMaker(user=user, key=key).bin_key).decode()
    return " ".join(text[at : at + 4] for at in range(0, len(text), 4))


@transaction.atomic
def turn_on(user: User, key: str, code: str) -> list[str]:
    """Take an app into use with a first code of it; the recovery codes, shown this once. Empty: wrong code."""
    _lock(user)
    CodeMaker.objects.filter(user=user).delete()
    maker = CodeMaker.objects.create(user=user, key=key, name="app", confirmed=False)
    if not maker.verify_token(_digits(code)):
        maker.delete()
        return []
    maker.confirmed = True
    maker.save()
    _log.info("sign-in code turned on", extra={"facts": {"user": user.pk}})
    return _new_recovery(user)


@transaction.atomic
def new_recovery_codes(user: User) -> list[str]:
    """Ten new ones; those from before are worth nothing."""
    _lock(user)
    _log.info("recovery codes made", extra={"facts": {"user": user.pk}})
    return _new_recovery(user)


@transaction.atomic
def turn_off(user: User, by: User) -> None:
    """No code is asked of this person any more; by another's hand, their open sign-ins end as well."""
    _lock(user)
    CodeMaker.objects.filter(user=user).delete()
    StaticDevice.objects.filter(user=user).delete()
    _log.warning("sign-in code removed", extra={"facts": {"user": user.pk, "by": by.pk}})
    if by.pk != user.pk:
        end_sign_ins(user)


@transaction.atomic
def take_code(user: User, typed: str) -> str:
    """What a code at sign-in was: "app", "recovery" (then it is used up), or "" for a wrong one."""
    _lock(user)
    maker = CodeMaker.objects.filter(user=user, confirmed=True).first()
    digits = _digits(typed)
    if maker and len(digits) == 6 and digits.isdecimal() and digits.isascii():
        found = "app" if maker.verify_token(digits) else ""
    else:
        device = StaticDevice.objects.filter(user=user, confirmed=True).first()
        found = "recovery" if device and device.verify_token(_kept(user, typed)) else ""
    facts = {"facts": {"user": user.pk}}
    if found == "recovery":
        _log.warning("signed in with a recovery code", extra=facts)
    elif not found:
        _log.warning("sign-in code refused", extra=facts)
    return found


def recovery_codes_left(user: User) -> int:
    return StaticToken.objects.filter(device__user=user).count()


def _lock(user: User) -> None:
    """One code at a time: of two sign-ins with the same one at the same instant, one finds it used."""
    User.objects.select_for_update().get(pk=user.pk)


def _digits(code: str) -> str:
    return "".join(code.split())


def _new_recovery(user: User) -> list[str]:
    StaticDevice.objects.filter(user=user).delete()
    device = StaticDevice.objects.create(user=user, name="recovery")
    made = [b32encode(secrets.token_bytes(10)).decode().lower() for _ in range(RECOVERY_CODES)]
    StaticToken.objects.bulk_create(
        StaticToken(device=device, token=_kept(user, code)) for code in made
    )
    return ["-".join(code[at : at + 4] for at in range(0, 16, 4)) for code in made]


def _kept(user: User, code: str) -> str:
    """How a recovery code is stored: 96 bits of an HMAC, because the library keeps what it is given."""
    plain = "".join(c for c in code.lower() if c.isalnum())
    words = f"recovery-code:{user.pk}:{plain}".encode()
    made = hmac.digest(settings.SECRET_KEY.encode(), words, "sha256")
    return urlsafe_b64encode(made[:12]).decode()


@transaction.atomic
def note_sign_in(user: User, session_key: str, browser: str) -> None:
    """A browser is signed in; rows of sessions that are over go."""
    SignIn.objects.filter(user=user).exclude(session_key__in=_alive()).delete()
    SignIn.objects.update_or_create(
        session_key=session_key,
        defaults={"user": user, "browser": browser[:60], "seen_at": timezone.now()},
    )


def note_seen(session_key: str, at: datetime) -> None:
    SignIn.objects.filter(session_key=session_key).update(seen_at=at)


def open_sign_ins(user: User) -> list[SignIn]:
    """Where this person is signed in, the browser used last first."""
    return list(user.sign_ins.filter(session_key__in=_alive()))


@transaction.atomic
def end_sign_ins(user: User, but: str = "") -> int:
    """End the sessions of this person, but for that one; how many there were."""
    ended = user.sign_ins.exclude(session_key=but)
    keys = list(ended.values_list("session_key", flat=True))
    count, _ = Session.objects.filter(session_key__in=keys).delete()
    ended.delete()
    _log.info("sign-ins ended", extra={"facts": {"user": user.pk, "count": count}})
    return count


def _alive():
    return Session.objects.filter(expire_date__gt=timezone.now()).values("session_key")
