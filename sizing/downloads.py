"""A file as an answer: the visitor's browser keeps it under its name."""

from __future__ import annotations

from django.http import HttpResponse


def as_file(name: str, content: bytes | str, media: str) -> HttpResponse:
    """`name` is of our making: letters, digits, hyphens and an ending. `media` is its media type."""
    response = HttpResponse(content, content_type=media)
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
