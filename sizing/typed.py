"""What was typed into a single box, which no form reads."""

from __future__ import annotations

from django.http import QueryDict


def typed(sent: QueryDict, name: str, otherwise: str = "") -> str:
    """The box's text without NUL: nobody types one, a copied text may hold it, and PostgreSQL stores none."""
    return sent.get(name, otherwise).replace("\0", "")
