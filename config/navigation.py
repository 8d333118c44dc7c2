"""The pages that stand in the navigation, and its drawing for whoever is there: who may open what is in `config.access`."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest
from django.template.loader import render_to_string
from django.urls import reverse

from config.access import may_open, opens_to
from sizing.roles import roles_of


@dataclass(frozen=True)
class Page:
    """One line of the navigation. `key` is its access key; `stays`: it stands in the strip, not in the menu.

    On a phone only the first few stay; the menu then has the rest of them, too.
    """

    name: str
    words: str
    key: str = ""
    stays: bool = False


NAVIGATION = (
    Page("home", "Today", stays=True),
    Page("counter", "Counter", "n", stays=True),
    Page("when", "When?", stays=True),
    Page("requests", "Requests", stays=True),
    Page("quotes", "Quotes", stays=True),
    Page("specials", "Specials", stays=True),
    Page("orders", "Orders", stays=True),
    Page("watch", "Watch list", stays=True),
    Page("customers", "Customers", stays=True),
    Page("schedules", "Schedules"),
    Page("measuring", "Measuring sheets"),
    Page("send-to-factories", "Send to factories"),
    Page("factory-orders", "Factory orders"),
    Page("record", "The desk's record"),
    Page("month", "The month"),
    Page("size-tables", "Size tables"),
    Page("prices", "Prices"),
    Page("notice-texts", "Texts of notices"),
    Page("shop", "The shop"),
    Page("staff", "People at the desk"),
    Page("programs", "Programs"),
)


@dataclass(frozen=True)
class May:
    """For templates: `may.factory_order` is whether this user may open the address factory-order."""

    user: Any

    def __getitem__(self, name: str) -> bool:
        return may_open(self.user, name.replace("_", "-"))


def navigation(request: HttpRequest) -> dict[str, Any]:
    """For templates: `navigation`, the lines that this user may open, drawn; and `may`."""
    user = getattr(request, "user", AnonymousUser())
    drawn = ""
    if user.is_authenticated:
        roles = roles_of(user)
        # The nearest line counts: people at the desk are a part of the shop with a line of their own.
        near = [url for _, url in _open_to(roles) if _is_here(request.path, url)]
        drawn = _drawn(roles, max(near, key=len, default=""))
    return {"navigation": drawn, "may": May(user)}


@cache
def _open_to(roles: frozenset[str]) -> tuple[tuple[Page, str], ...]:
    """(page, its address) of what these roles may open."""
    return tuple((page, reverse(page.name)) for page in NAVIGATION if opens_to(roles, page.name))


@cache
def _drawn(roles: frozenset[str], here: str) -> str:
    """Drawn once: it is on every page, and the same for everybody of a role."""
    lines = [{"page": page, "url": url, "here": url == here} for page, url in _open_to(roles)]
    return render_to_string("navigation.html", {"lines": lines})


def _is_here(path: str, url: str) -> bool:
    """Whether a page belongs to a line of the navigation; the first page is only itself."""
    return path == url or (url != "/" and path.startswith(url))
