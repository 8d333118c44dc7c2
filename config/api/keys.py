"""Whose key a call came with."""

from __future__ import annotations

from django.http import HttpRequest
from ninja.security import HttpBearer

from quotes.lists.shop import find_integration
from quotes.models import Integration


class Key(HttpBearer):
    """Authorization: Bearer, and the key that the owner of the desk made for this program."""

    def authenticate(self, request: HttpRequest, token: str) -> Integration | None:
        return find_integration(token)


def program(request: HttpRequest) -> Integration:
    """The program that asks."""
    return request.auth
