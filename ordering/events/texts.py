"""Writes the shop's own words for notices."""

from __future__ import annotations

from ordering.events.log import Who
from ordering.models import NoticeText
from ordering.notices import Kind, Text, troubles


class TextError(ValueError):
    """A text that cannot be used: the sentences say why."""


def keep_text(kind: Kind, text: Text, who: Who, language: str = "en") -> NoticeText:
    """Use these words from now on; notices that are written already keep theirs. Raises TextError."""
    found = troubles(text)
    if found:
        raise TextError(" ".join(found))
    kept, _ = NoticeText.objects.update_or_create(
        kind=kind,
        language=language,
        defaults={"subject": text.subject, "body": text.body, "changed_by": who.name[:150]},
    )
    return kept


def usual_text(kind: Kind, language: str = "en") -> None:
    """Go back to the words in `ordering.notices`."""
    NoticeText.objects.filter(kind=kind, language=language).delete()
