"""Writes the programs that may use the API: made with a key that is shown once, switched off for good."""

from __future__ import annotations

import logging
import secrets
from urllib.parse import urlsplit

from django.conf import settings
from django.db import IntegrityError, transaction
from django.utils import timezone

from quotes.links import hash_of, new_nonce
from quotes.models import Integration
from quotes.outgoing import said_inside

_log = logging.getLogger("desk.sign_ins")


class IntegrationError(ValueError):
    """What is wrong with an integration: one sentence."""


def make_integration(name: str, by: str) -> tuple[Integration, str]:
    """A new integration and its key (256 bits), which cannot be read again afterwards."""
    key = secrets.token_urlsafe(32)
    try:
        with transaction.atomic():
            made = Integration.objects.create(name=name, key_hash=hash_of(key), made_by=by)
    except IntegrityError:
        raise IntegrationError(
            f"There is or was a program called “{name}”: choose another name."
        ) from None
    _log.info("key made", extra={"facts": {"program": made.pk}})
    return made, key


@transaction.atomic
def switch_off(integration_pk: int) -> Integration:
    """Its key stops working at once. The name stays taken: what it made is signed with it."""
    found = Integration.objects.select_for_update().get(pk=integration_pk)
    if found.switched_off_at is None:
        found.switched_off_at = timezone.now()
        found.save(update_fields=["switched_off_at"])
        _log.info("key switched off", extra={"facts": {"program": found.pk}})
    return found


@transaction.atomic
def tell_at(integration_pk: int, url: str) -> Integration:
    """Tell a program of news at this address from now on; "" stops it. A new address has a new secret.

    Raises IntegrationError for what is no http or https address, or one inside this network.
    """
    if url and not url.startswith(("https://", "http://")):
        raise IntegrationError(f"“{url}” is no address: it begins with https:// or http://.")
    if url and not settings.NEWS_INSIDE and said_inside(urlsplit(url).hostname or ""):
        raise IntegrationError(
            f"“{url}” is inside this network: news goes to public addresses only (see NEWS_INSIDE in the settings)."
        )
    found = Integration.objects.select_for_update().get(pk=integration_pk)
    if url != found.news_url:
        found.news_url = url
        found.news_nonce = new_nonce() if url else ""
        found.news_since = timezone.now() if url else None
        found.save(update_fields=["news_url", "news_nonce", "news_since"])
    return found
