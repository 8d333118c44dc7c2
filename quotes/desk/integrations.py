"""Writes the programs that may use the API: made with a key that is shown once, switched off for good."""

from __future__ import annotations

import secrets

from django.db import IntegrityError, transaction
from django.utils import timezone

from quotes.links import hash_of
from quotes.models import Integration


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
    return made, key


@transaction.atomic
def switch_off(integration_pk: int) -> Integration:
    """Its key stops working at once. The name stays taken: what it made is signed with it."""
    found = Integration.objects.select_for_update().get(pk=integration_pk)
    if found.switched_off_at is None:
        found.switched_off_at = timezone.now()
        found.save(update_fields=["switched_off_at"])
    return found
