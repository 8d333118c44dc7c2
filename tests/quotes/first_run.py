"""What the first person types on the setup page, and whether somebody can sign in."""

from django.test import Client

TYPED = {
    "name": "Wherry Lane Sash",
    "address": "3 Wherry Lane, Ashby, VT 05998",
    "phone": "802 555 0101",
    "email": "desk@wherry.example",
    "country": "US",
    "region": "vt",
    "town": "Ashby",
    "unit": "in",
    "currency": "USD",
    "person": "Ida Fenn",
    "own_email": "ida@wherry.example",
    "username": "ida",
    "password": "slate and chalk 88",
    "again": "slate and chalk 88",
}


def signs_in(username: str, password: str) -> bool:
    """Whether the sign-in page lets this person in."""
    typed = {"username": username, "password": password}
    return Client().post("/sign-in/", typed).status_code == 302
