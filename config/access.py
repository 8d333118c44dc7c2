"""Who may open which address with which method: the one place of this rule.

`Gate` asks `RULES` before any view is called. An address that has no rule opens for nobody, so a new
page begins by being written down here (tests/access holds every address to its expected answers).
The navigation (`config.navigation`) follows from the same table. Owners may open everything that anybody may.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseNotAllowed
from django.shortcuts import redirect

from sizing.roles import any_of, has_role, roles_of

# Whoever is there, signed in or not.
PUBLIC = frozenset({"public"})
# Whoever has the unguessable address; the view looks its token up.
LINK = frozenset({"link"})
# Whoever brings a program's key; the API looks it up.
KEY = frozenset({"key"})
OWNER = frozenset({"owner"})
MANAGER = frozenset({"manager"})
DESK = MANAGER | {"counter"}
EVERYBODY = DESK | {"staff"}
# What somebody may open who has yet to set up the code that the shop asks for.
WITHOUT_CODE = frozenset({"own", "own-again", "own-code", "password"})
# No such method at this address.
NO: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Rule:
    """Who may read an address (GET, HEAD) and who may write to it (POST).

    `asks_itself`: the view lets nobody in either, but keeps what was typed until there is a sign-in.
    """

    read: frozenset[str] = NO
    write: frozenset[str] = NO
    asks_itself: bool = False

    def who(self, method: str) -> frozenset[str]:
        # Of calls the API knows the methods that its description names.
        head = NO if self.read == KEY else self.read
        return {"GET": self.read, "HEAD": head, "POST": self.write}.get(method, NO)

    @property
    def methods(self) -> list[str]:
        return [method for method in ("GET", "HEAD", "POST") if self.who(method)]


RULES: Mapping[str, Rule] = {
    # Coming and going
    "home": Rule(EVERYBODY),
    "health": Rule(PUBLIC),
    "sign-in": Rule(PUBLIC, PUBLIC),
    "sign-in-code": Rule(PUBLIC, PUBLIC),
    "sign-out": Rule(write=PUBLIC),
    "kept": Rule(EVERYBODY),
    # One's own sign-in
    "own": Rule(EVERYBODY),
    "own-again": Rule(EVERYBODY, EVERYBODY),
    "own-code": Rule(EVERYBODY, EVERYBODY),
    "own-code-off": Rule(write=EVERYBODY),
    "own-recovery": Rule(write=EVERYBODY),
    "own-elsewhere": Rule(write=EVERYBODY),
    # The first run, the shop and its people
    "setup": Rule(PUBLIC, PUBLIC),
    "begin": Rule(OWNER, OWNER),
    "shop": Rule(OWNER, OWNER),
    "shop-logo": Rule(write=OWNER),
    "staff": Rule(OWNER),
    "staff-invite": Rule(write=OWNER),
    "staff-role": Rule(write=OWNER),
    "staff-switch": Rule(write=OWNER),
    "staff-withdraw": Rule(write=OWNER),
    "staff-code-off": Rule(OWNER, OWNER),
    "rules": Rule(OWNER, OWNER),
    "programs": Rule(OWNER, OWNER),
    "program": Rule(OWNER, OWNER),
    "program-off": Rule(write=OWNER),
    "join": Rule(LINK, LINK),
    "password": Rule(EVERYBODY, EVERYBODY),
    # The API
    "api:api-root": Rule(PUBLIC),
    "api:openapi-json": Rule(PUBLIC),
    "api:resolve": Rule(write=KEY),
    "api:when": Rule(write=KEY),
    "api:leave_request": Rule(write=KEY),
    "api:read_request": Rule(KEY),
    "api:ask_for_quote": Rule(write=KEY),
    "api:read_quote": Rule(KEY),
    "api:accept_quote": Rule(write=KEY),
    "api:read_order": Rule(KEY),
    # Size tables
    "size-tables": Rule(EVERYBODY),
    "size-table": Rule(EVERYBODY, MANAGER),
    "size-table-upload": Rule(write=MANAGER),
    "size-table-workbook": Rule(MANAGER),
    "size-table-example-workbook": Rule(MANAGER),
    "size-table-draft": Rule(MANAGER, MANAGER),
    "size-table-discard": Rule(write=MANAGER),
    "size-table-take-back": Rule(write=MANAGER),
    "factory": Rule(MANAGER, MANAGER),
    # The counter and its requests
    "counter": Rule(DESK, DESK, asks_itself=True),
    "request": Rule(DESK, DESK, asks_itself=True),
    "counter-answer": Rule(write=DESK, asks_itself=True),
    "counter-opening": Rule(write=DESK, asks_itself=True),
    "counter-parts": Rule(DESK),
    "counter-kept": Rule(DESK),
    "requests": Rule(DESK),
    "request-customer": Rule(DESK, DESK),
    "request-aside": Rule(write=DESK),
    "pasted": Rule(DESK, DESK, asks_itself=True),
    "customers": Rule(DESK),
    "customer": Rule(DESK, DESK),
    "customer-new": Rule(DESK, DESK),
    "customer-double": Rule(DESK),
    "customer-merge": Rule(write=DESK),
    "customer-data": Rule(MANAGER),
    "customer-erase": Rule(write=MANAGER),
    # Measuring sheets, and the page of whoever measures
    "measuring": Rule(DESK),
    "measuring-filled": Rule(DESK),
    "measure": Rule(PUBLIC, PUBLIC),
    "measure-sheet": Rule(PUBLIC),
    "measure-sent": Rule(PUBLIC),
    "measure-in": Rule(PUBLIC, PUBLIC),
    "measure-sheet-in": Rule(PUBLIC),
    "measure-sent-in": Rule(PUBLIC),
    # Window schedules
    "schedules": Rule(DESK, DESK),
    "schedule": Rule(DESK),
    "schedule-template": Rule(DESK),
    "schedule-progress": Rule(DESK, DESK),
    "schedule-line": Rule(DESK, DESK),
    "schedule-request": Rule(write=DESK),
    "schedule-sender": Rule(write=DESK),
    "schedule-discard": Rule(write=DESK),
    "schedule-workbook": Rule(DESK),
    # Quotes
    "quotes": Rule(DESK),
    "quote": Rule(DESK),
    "quote-issue": Rule(DESK),
    "quote-from-request": Rule(write=DESK),
    "quote-next": Rule(write=DESK),
    "quote-settle": Rule(write=DESK),
    "quote-lost": Rule(write=DESK),
    "quote-draft": Rule(write=DESK),
    "quote-send": Rule(write=DESK),
    "quote-word": Rule(write=DESK),
    "quote-take-back": Rule(write=DESK),
    "quote-paper": Rule(DESK),
    "quote-sheet": Rule(DESK),
    "letter-again": Rule(write=DESK),
    "prices": Rule(MANAGER, MANAGER),
    "price-back": Rule(write=MANAGER),
    "quote-public": Rule(LINK),
    "quote-accept": Rule(LINK, LINK),
    "quote-change": Rule(LINK, LINK),
    "quote-public-pdf": Rule(LINK),
    "quote-public-xlsx": Rule(LINK),
    # Special quotes
    "specials": Rule(DESK),
    "special": Rule(DESK),
    "special-do": Rule(write=DESK),
    "special-ask": Rule(write=DESK),
    "special-flag": Rule(DESK, DESK),
    "request-ask": Rule(write=DESK),
    "enquiry-paper": Rule(DESK),
    "lead-time": Rule(DESK, DESK),
    "factory-answer": Rule(LINK, LINK),
    "factory-paper": Rule(LINK),
    # Orders; which steps of a line each role may write is in ordering.states
    "when": Rule(EVERYBODY),
    "watch": Rule(EVERYBODY),
    "notice-called": Rule(write=EVERYBODY),
    "record": Rule(EVERYBODY),
    "month": Rule(MANAGER),
    "notice-texts": Rule(MANAGER),
    "notice-text": Rule(MANAGER, MANAGER),
    "orders": Rule(EVERYBODY),
    "order": Rule(EVERYBODY),
    "order-line": Rule(write=EVERYBODY),
    "order-note": Rule(write=EVERYBODY),
    "order-by-hand": Rule(DESK, DESK),
    "order-again": Rule(write=DESK),
    "order-cancel": Rule(write=DESK),
    "order-deposit": Rule(write=DESK),
    "order-refused": Rule(write=DESK),
    "order-take-back": Rule(write=DESK),
    "place-order": Rule(write=DESK),
    "send-to-factories": Rule(DESK, DESK),
    "factory-calendar": Rule(MANAGER, MANAGER),
    "factory-orders": Rule(DESK),
    "factory-order": Rule(DESK, DESK),
    "factory-order-paper": Rule(DESK),
    "chase-factory": Rule(write=DESK),
    "order-public": Rule(LINK, LINK),
    "order-quote-pdf": Rule(LINK),
    "order-calendar": Rule(LINK),
    "factory-public": Rule(LINK, LINK),
    "factory-public-pdf": Rule(LINK),
}


def rule_of(request: HttpRequest) -> Rule | None:
    """The rule of the address that was asked for; None if there is no such address or no rule."""
    match = request.resolver_match
    return RULES.get(match.view_name) if match else None


def may_open(user: Any, name: str, method: str = "GET") -> bool:
    """Whether this user's roles let them use the address of that name with that method."""
    return opens_to(roles_of(user), name, method)


@cache
def opens_to(roles: frozenset[str], name: str, method: str = "GET") -> bool:
    """The same of somebody with these roles."""
    rule = RULES.get(name)
    who = rule.who(method) if rule else NO
    return who in (PUBLIC, LINK) or (bool(who) and any_of(roles, who))


class Gate:
    """Middleware: refuses what the rules do not allow.

    Somebody who is not signed in is left to LoginRequiredMiddleware, which asks for a sign-in. Stands
    before CsrfViewMiddleware in the settings and finds the user there all the same: views are
    processed after all middlewares have seen the request.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Any, args: Any, kwargs: Any
    ) -> HttpResponse | None:
        rule = rule_of(request)
        if rule is None:
            raise PermissionDenied(
                f"The address named “{request.resolver_match.view_name}” has no rule yet: "
                "say in config/access.py who may open it."
            )
        who = rule.who(request.method)
        if not who:
            return HttpResponseNotAllowed(rule.methods)
        if who == LINK:
            # No cookie takes part, so there is nothing to forge; and a page without referrer could
            # not pass the check of where a form came from.
            request.csrf_processing_done = True
        elif (
            who not in (PUBLIC, KEY)
            and request.user.is_authenticated
            and not has_role(request.user, *who)
        ):
            raise PermissionDenied(
                f"This page is for the role{'s' * (len(who) > 1)} {_listed(who)}."
            )
        elif who not in (PUBLIC, KEY) and request.user.is_authenticated:
            return self._code_first(request)
        return None

    def _code_first(self, request: HttpRequest) -> HttpResponse | None:
        """Leads somebody whom the shop asks for a code to setting it up, whatever they asked for."""
        wanted = request.session.get("needs_code")
        if wanted and request.resolver_match.view_name not in WITHOUT_CODE:
            return redirect("own-code")
        return None


def _listed(who: frozenset[str]) -> str:
    *most, last = sorted(who)
    return f"{', '.join(most)} and {last}" if most else last
