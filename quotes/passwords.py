"""What a password may not be made of at this desk, besides Django's own list of the most used ones."""

from __future__ import annotations

import re

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError

from quotes.lists.shop import the_shop

# What comes to mind first at such a desk.
OF_THE_TRADE = (
    "sashdesk",
    "sash",
    "window",
    "windows",
    "liner",
    "balance",
    "weatherstrip",
    "counter",
)
# So much has to be left when such words are taken out.
LEFT = 8


class NotTheShopsWords:
    """Refuses what is little more than the shop's name or the trade's words with something behind."""

    def validate(self, password: str, user: User | None = None) -> None:
        shop = the_shop()
        said = f"{shop.name} {shop.town} {shop.email.partition('@')[2]}".casefold()
        words = {*re.findall(r"\w{4,}", said), *OF_THE_TRADE}
        rest = password.casefold()
        for word in sorted(words, key=len, reverse=True):
            rest = rest.replace(word, "")
        if len(rest) < len(password) and len(rest) < LEFT:
            raise ValidationError(
                "This password is little more than the shop's name or a word of the trade: take other words."
            )

    def get_help_text(self) -> str:
        return "Your password can't be the shop's name or a word of the trade with a little behind."
