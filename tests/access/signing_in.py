"""People who sign in with a password and perhaps a code, and the app that shows the codes."""

import re
import time
from base64 import b32decode

from django.contrib.auth.models import User
from django.core.signing import TimestampSigner
from django.test import Client
from django_otp.oath import totp

from config.sign_ins import KNOWN_COOKIE
from tests.access.shop import people

PASSWORD = "paper and ink 4711"


def person(role="counter") -> User:
    """Somebody in a role, with a password."""
    made = people()[role]
    made.set_password(PASSWORD)
    made.save()
    return made


def sign_in(client: Client, name="counter-person", password=PASSWORD, **more):
    return client.post("/sign-in/", {"username": name, "password": password}, **more)


def known() -> dict[str, str]:
    """The cookie of a browser with which somebody of the desk has signed in before."""
    return {KNOWN_COOKIE: TimestampSigner(salt="known browser").sign("1")}


def shown_code(secret: str) -> str:
    """What an app shows now that was given this secret (RFC 6238)."""
    return f"{totp(b32decode(secret.replace(' ', '')), t0=0):06d}"


def set_up_code(client: Client) -> tuple[str, list[str]]:
    """(secret, recovery codes) of the code that whoever is signed in takes into use."""
    page = client.get("/your-sign-in/code/").content.decode()
    secret = re.search(r"<code>([A-Z2-7 ]+)</code>", page)[1]
    done = client.post("/your-sign-in/code/", {"code": shown_code(secret)})
    assert done.status_code == 200, done.content.decode()
    return secret, re.findall(r"<code>([a-z2-7-]{19})</code>", done.content.decode())


def is_in(client: Client) -> bool:
    return client.get("/").status_code == 200


def travel(clock, seconds: float) -> float:
    clock.shift(seconds)
    return time.time()
