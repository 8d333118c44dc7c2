"""Tokens of the links that customers, factories and people invited get: 256 bits, made from the
installation's key, stored only as a hash.

A token can be made again from its link's nonce and the key (for the code on a paper or a second
mail), but not from the database alone.
"""

from __future__ import annotations

import hmac
import secrets
from base64 import urlsafe_b64encode
from hashlib import sha256

from django.conf import settings
from django.urls import reverse
from django.utils import timezone

from quotes.models import Enquiry, Invitation, Issue, Link


def new_nonce() -> str:
    return secrets.token_urlsafe(32)


def token_of(nonce: str) -> str:
    """The link's token: HMAC-SHA256 of its nonce, 43 letters."""
    made = hmac.digest(settings.SECRET_KEY.encode(), f"quote-link:{nonce}".encode(), "sha256")
    return urlsafe_b64encode(made).decode().rstrip("=")


def hash_of(token: str) -> str:
    return sha256(token.encode()).hexdigest()


def address_of(issue: Issue) -> str:
    """The whole address of the issue's page for the customer."""
    return settings.SITE_URL + reverse("quote-public", args=[token_of(issue.link.nonce)])


def find_issue(token: str) -> Issue | None:
    """The issue that a link opens; None if there is none or the link has expired."""
    wanted = hash_of(token)
    link = (
        Link.objects.select_related("issue__quote__customer")
        .filter(token_hash=wanted, expires_at__gt=timezone.now())
        .first()
    )
    # The index finds by the hash, which tells nothing of the token; the last word is constant-time.
    if link is None or not hmac.compare_digest(link.token_hash, wanted):
        return None
    return link.issue


def factory_address(enquiry: Enquiry) -> str:
    """The whole address of the page on which the factory answers all of its letter."""
    first = enquiry.asked_with or enquiry
    return settings.SITE_URL + reverse("factory-answer", args=[token_of(first.nonce)])


def find_enquiry(token: str) -> Enquiry | None:
    """The enquiry whose letter a factory's link opens; None if there is none or it has expired."""
    wanted = hash_of(token)
    enquiry = Enquiry.objects.filter(token_hash=wanted, expires_at__gt=timezone.now()).first()
    if enquiry is None or not hmac.compare_digest(enquiry.token_hash, wanted):
        return None
    return enquiry


def invitation_address(invitation: Invitation) -> str:
    """The whole address on which an invited person joins the desk."""
    return settings.SITE_URL + reverse("join", args=[token_of(invitation.nonce)])


def find_invitation(token: str) -> Invitation | None:
    """The invitation that a link opens; None if there is none, or it was used, withdrawn or has expired."""
    wanted = hash_of(token)
    found = Invitation.objects.filter(token_hash=wanted).first()
    if found is None or not hmac.compare_digest(found.token_hash, wanted):
        return None
    return found if found.is_open else None
