"""What customers and factories are told, in which words. Pure: knows no Django and no database.

A text holds fields in braces, {order}; nothing else of Python's formatting is taken, so that a text
typed by somebody can never reach past the fields.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from ordering.states import Act, Words
from sizing.wording import N_
from sizing.wording import gettext as _


class Kind(Words):
    PLACED = "placed", N_("Order placed")
    CONFIRMED = "confirmed", N_("Date confirmed")
    MOVED = "moved", N_("Date moved")
    LEFT = "left", N_("Left the factory")
    READY = "ready", N_("Ready")
    DELAYED = "delayed", N_("Delayed")
    REFUSED = "refused", N_("Cannot be made")
    AGAIN = "again", N_("Made again")
    CANCELLED = "cancelled", N_("Cancelled")
    RIGHTED = "righted", N_("Correction")
    FACTORY = "factory", N_("Factory order")
    CHASED = "chased", N_("Factory asked again")
    STOPPED = "stopped", N_("Factory asked to stop")
    RESUMED = "resumed", N_("Factory asked to go on")


# The one notice to the customer that each act causes.
CAUSED_BY: Mapping[Act, Kind] = {
    Act.PLACED: Kind.PLACED,
    Act.PROMISED: Kind.CONFIRMED,
    Act.MOVED: Kind.MOVED,
    Act.WINDOW: Kind.MOVED,
    Act.LEFT: Kind.LEFT,
    Act.ARRIVED: Kind.READY,
    Act.LATE: Kind.DELAYED,
    Act.REMADE: Kind.AGAIN,
    Act.CANCELLED: Kind.CANCELLED,
    Act.TAKEN_BACK: Kind.RIGHTED,
}
# Only where the event says so: the customer may know already, or was never told what is taken back.
IF_SAID = frozenset({Act.REMADE, Act.CANCELLED, Act.TAKEN_BACK})
# Only once somebody of the desk presses for it: they call first, with something to offer in its place.
PRESSED_FOR: Mapping[Act, Kind] = {Act.REFUSED: Kind.REFUSED}
FOR_CUSTOMERS = tuple(dict.fromkeys((*CAUSED_BY.values(), *PRESSED_FOR.values())))


@dataclass(frozen=True)
class Text:
    subject: str
    body: str


# What each field stands for; the last three are for factories.
FIELDS: Mapping[str, str] = {
    "customer": "the customer's name; “customer” where nobody has typed one",
    "order": "the order's number",
    "lines": "the lines it is about, one a line",
    "window": "when they are expected to leave the factory; of a part of an order, when the rest is; of what cannot be "
    "made, what they were told until now",
    "reason": "why, as the desk or the factory wrote it; of what is made again, which pieces it takes the place of; of "
    "what cannot be made, what the desk offers",
    "in_part": "“in part” where more of the order is still to come",
    "how": "where the goods go: to the counter or an address",
    "mail": "the subject of the message that is set right",
    "link": "the page of the order",
    "shop": "the shop's name",
    "factory": "the factory's name",
    "factory_order": "the factory order's number",
    "note": "the note to the factory",
}

# The usual words, by paragraphs; each paragraph is a text of the catalogue.
_GREETING = N_("Dear {customer},")
_LINES, _WINDOW, _REASON, _SHOP = "{lines}", "{window}", "{reason}", "{shop}"
_END = (N_("How the order stands at any time:\n{link}"), _SHOP)
_USUAL: Mapping[Kind, tuple[str, tuple[str, ...]]] = {
    Kind.PLACED: (
        N_("Order {order} is placed"),
        (
            _GREETING, N_("we have your order {order}:"), _LINES, _WINDOW,
            N_("What is made to order cannot be returned. If a measure is wrong, please tell us "
               "today, before it is cut."),
            *_END,
        ),
    ),
    Kind.CONFIRMED: (
        N_("Order {order}: the factory has given a date"),
        (_GREETING, N_("the factory has given a date for order {order}:"), _LINES, _WINDOW, *_END),
    ),
    Kind.MOVED: (
        N_("Order {order}: the date has moved"),
        (
            _GREETING, N_("the date of order {order} has moved:"), _LINES, _REASON, _WINDOW,
            N_("We are sorry if this is later than you planned for. You need not do anything; if it does "
               "not suit you, answer this mail."),
            *_END,
        ),
    ),
    Kind.LEFT: (
        N_("Order {order} has left the factory {in_part}"),
        (
            _GREETING, N_("this has left the factory:"), _LINES, _WINDOW,
            N_("We write again when it is at our dock."), *_END,
        ),
    ),
    Kind.READY: (
        N_("Order {order} is ready {in_part}"),
        (
            _GREETING, N_("this is at our dock:"), _LINES, "{how}", _WINDOW,
            N_("Please check each part against your window before the old one comes out."), *_END,
        ),
    ),
    Kind.DELAYED: (
        N_("Order {order} is running late"),
        (
            _GREETING, N_("order {order} is likely to be later than we told you:"), _LINES, _REASON,
            _WINDOW, N_("We write again as soon as there is a date."), *_END,
        ),
    ),
    Kind.REFUSED: (
        N_("Order {order}: some of it cannot be made as ordered"),
        (
            _GREETING,
            N_("the factory has told us that it cannot make this of your order {order} as ordered:"),
            _LINES, _WINDOW, _REASON,
            N_("There is no date for it any more. Please answer this mail or call us: together we find what takes "
               "its place, or cancel it."),
            *_END,
        ),
    ),
    Kind.AGAIN: (
        N_("Order {order}: made again"),
        (
            _GREETING, N_("we are having this made again for order {order}:"), _LINES, _REASON, _WINDOW,
            *_END,
        ),
    ),
    Kind.CANCELLED: (
        N_("Order {order}: cancelled"),
        (_GREETING, N_("the following of your order {order} is cancelled:"), _LINES, _REASON, *_END),
    ),
    Kind.RIGHTED: (
        N_("Please disregard: {mail}"),
        (
            _GREETING,
            N_("our message “{mail}” was a mistake; please disregard it. It was about:"),
            _LINES, _WINDOW, N_("We are sorry for the confusion."), *_END,
        ),
    ),
    # Factories are written to in English.
    Kind.FACTORY: (
        "Factory order {factory_order}",
        (
            "To {factory},",
            "please make the following for us. The paper and the workbook are attached.",
            _LINES, "{note}",
            "Please give us your date here; no sign-in is needed. On the same page you can move the date "
            "later and tell us what has shipped:\n{link}",
            _SHOP,
        ),
    ),
    Kind.CHASED: (
        "Factory order {factory_order}: please give a date",
        (
            "To {factory},", "we have no answer yet to factory order {factory_order}:", _LINES,
            "Please give us your date here; no sign-in is needed:\n{link}", _SHOP,
        ),
    ),
    Kind.STOPPED: (
        "Factory order {factory_order}: please do not make what is cancelled",
        (
            "To {factory},",
            "the following of factory order {factory_order} is cancelled. Please do not make it:",
            _LINES, "If it is being made already, or has left, please answer this mail at once.",
            "What still stands of the order:\n{link}", _SHOP,
        ),
    ),
    Kind.RESUMED: (
        "Factory order {factory_order}: please make it after all",
        (
            "To {factory},",
            "we wrote that the following of factory order {factory_order} is cancelled. That was a mistake; "
            "please make it as ordered:",
            _LINES, "If its date moves by this, please tell us here:\n{link}", _SHOP,
        ),
    ),
}  # fmt: skip
KINDS = tuple(_USUAL)
FOR_FACTORIES = frozenset({Kind.FACTORY, Kind.CHASED, Kind.STOPPED, Kind.RESUMED})


def usual(kind: Kind) -> Text:
    """The usual words of a kind, in the reader's language; a factory's in English."""
    subject, paragraphs = _USUAL[kind]
    put = str if kind in FOR_FACTORIES else _
    return Text(put(subject), "\n\n".join(put(words) for words in paragraphs))


_FIELD = re.compile(r"\{([^{}]*)\}")


def troubles(text: Text) -> list[str]:
    """What is wrong with a text, one sentence each; none: it can be used."""
    found = []
    for name in dict.fromkeys(_FIELD.findall(text.subject) + _FIELD.findall(text.body)):
        if name not in FIELDS:
            found.append(f"There is no field {{{name}}}: use {_listed(FIELDS)}.")
    for part in (text.subject, text.body):
        if re.search(r"[{}]", _FIELD.sub("", part)):
            found.append("A brace stands alone: a field is written {order}, with both braces.")
            break
    if not text.subject.strip() or "\n" in text.subject.strip():
        found.append("The subject is one line, and not an empty one.")
    if not text.body.strip():
        found.append("The text is empty.")
    return found


# Who does not read one of these knows less; the others are manners.
_TELLING = ("lines", "window", "reason", "in_part", "how", "mail", "link", "note")


def left_out(kind: Kind, text: Text) -> list[str]:
    """What the usual words of a kind say and a text has no field for, one sentence each, for who writes it."""
    said, now = usual(kind), _FIELD.findall(f"{text.subject} {text.body}")
    wanted = _FIELD.findall(f"{said.subject} {said.body}")
    return [
        f"Without {{{name}}} nobody reads {FIELDS[name]}."
        for name in _TELLING
        if name in wanted and name not in now
    ]


def _listed(names: Iterable[str]) -> str:
    return ", ".join(f"{{{name}}}" for name in names)


def filled(text: Text, values: Mapping[str, str]) -> Text:
    """The text with its fields filled in. The subject comes out as one line, whatever was typed.

    A paragraph that nothing was filled into leaves no gap.
    """
    subject = " ".join(_fill(text.subject, values).split())
    body = re.sub(r"[ \t]+\n", "\n", _fill(text.body, values))
    return Text(subject[:200], re.sub(r"\n{3,}", "\n\n", body).strip() + "\n")


def _fill(words: str, values: Mapping[str, str]) -> str:
    return _FIELD.sub(lambda field: values.get(field[1], ""), words)


def from_factory(number: str, words: str, by: str, page: str) -> Text:
    """To the desk: what a factory has typed on the page of a factory order, by its number."""
    return Text(
        f"{by} about factory order {number}",
        f"{by} writes about factory order {number}:\n\n{words}\n\n"
        f"It is noted with its orders. The factory order:\n{page}\n",
    )
