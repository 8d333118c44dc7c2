"""Whoever did something is kept by their sign-in name; people read the person's own name."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.db.models import F, OuterRef, Subquery, Value
from django.db.models.functions import Coalesce, Concat, Trim


def named(field: str) -> Coalesce:
    """For `annotate`: the name of whoever's sign-in name stands in `field`; of nobody's, the text itself."""
    full = Trim(Concat("first_name", Value(" "), "last_name"))
    names = User.objects.filter(username=OuterRef(field)).annotate(full=full).exclude(full="")
    return Coalesce(Subquery(names.values("full")[:1]), F(field))


def name_of(sign_in_name: str) -> str:
    """Of one person, the same."""
    user = User.objects.filter(username=sign_in_name).first() if sign_in_name else None
    return (user and user.get_full_name()) or sign_in_name
