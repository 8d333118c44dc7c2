"""What customers and factories are told, in which words. Pure: knows no Django and no database.

A text holds fields in braces, {order}; nothing else of Python's formatting is taken, so that a text
typed by somebody can never reach past the fields.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from html import escape

from ordering.states import Act, Words


class Kind(Words):
    PLACED = "placed", "Order placed"
    CONFIRMED = "confirmed", "Date confirmed"
    MOVED = "moved", "Date moved"
    LEFT = "left", "Left the factory"
    READY = "ready", "Ready"
    DELAYED = "delayed", "Delayed"
    FACTORY = "factory", "Factory order"
    CHASED = "chased", "Factory asked again"


# The one notice each act causes.
CAUSED_BY: Mapping[Act, Kind] = {
    Act.PLACED: Kind.PLACED,
    Act.PROMISED: Kind.CONFIRMED,
    Act.MOVED: Kind.MOVED,
    Act.WINDOW: Kind.MOVED,
    Act.LEFT: Kind.LEFT,
    Act.ARRIVED: Kind.READY,
    Act.LATE: Kind.DELAYED,
}
FOR_CUSTOMERS = tuple(dict.fromkeys(CAUSED_BY.values()))


@dataclass(frozen=True)
class Text:
    subject: str
    body: str


# What each field stands for; the last three are for factories.
FIELDS: Mapping[str, str] = {
    "customer": "the customer's name",
    "order": "the order's number",
    "lines": "the lines it is about, one a line",
    "window": "when they are expected to leave the factory",
    "reason": "why, as the desk or the factory wrote it",
    "how": "where the goods go: to the counter or an address",
    "link": "the page of the order",
    "shop": "the shop's name",
    "factory": "the factory's name",
    "factory_order": "the factory order's number",
    "note": "the note to the factory",
}

_END = "\n\nHow the order stands at any time:\n{link}\n\n{shop}"
DEFAULTS: Mapping[Kind, Text] = {
    Kind.PLACED: Text(
        "Order {order} is placed",
        "Dear {customer},\n\nwe have your order {order}:\n\n{lines}\n\n{window}\n\nEvery part is made to "
        "order and cannot be returned. If a measure is wrong, please tell us today, before it is cut." + _END,
    ),
    Kind.CONFIRMED: Text(
        "Order {order}: the factory has given a date",
        "Dear {customer},\n\nthe factory has given a date for order {order}:\n\n{lines}\n\n{window}" + _END,
    ),
    Kind.MOVED: Text(
        "Order {order}: the date has moved",
        "Dear {customer},\n\nthe date of order {order} has moved:\n\n{lines}\n\n{reason}\n\n{window}\n\n"
        "We are sorry if this is later than you planned for. You need not do anything; if it does not "
        "suit you, answer this mail." + _END,
    ),
    Kind.LEFT: Text(
        "Order {order} has left the factory",
        "Dear {customer},\n\nthis has left the factory:\n\n{lines}\n\nWe write again when it is at our "
        "dock." + _END,
    ),
    Kind.READY: Text(
        "Order {order} is ready",
        "Dear {customer},\n\nthis is at our dock:\n\n{lines}\n\n{how}\n\nPlease check each part against "
        "your window before the old one comes out." + _END,
    ),
    Kind.DELAYED: Text(
        "Order {order} is running late",
        "Dear {customer},\n\norder {order} is likely to be later than we told you:\n\n{lines}\n\n{reason}"
        "\n\n{window}\n\nWe have asked the factory and write again as soon as there is a date." + _END,
    ),
    Kind.FACTORY: Text(
        "Factory order {factory_order}",
        "To {factory},\n\nplease make the following for us. The paper and the workbook are attached.\n\n"
        "{lines}\n\n{note}\n\nPlease give us your date here; no sign-in is needed. On the same page you "
        "can move the date later and tell us what has shipped:\n{link}\n\n{shop}",
    ),
    Kind.CHASED: Text(
        "Factory order {factory_order}: please give a date",
        "To {factory},\n\nwe have no answer yet to factory order {factory_order}:\n\n{lines}\n\n"
        "Please give us your date here; no sign-in is needed:\n{link}\n\n{shop}",
    ),
}  # fmt: skip

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


_ADDRESS = re.compile(r"https?://\S+")


def as_html(title: str, body: str) -> str:
    """The same words for a mail program that shows HTML; addresses become links. No script, no picture."""
    paragraphs = "\n".join(
        f"<p>{_linked(block)}</p>" for block in body.strip().split("\n\n") if block.strip()
    )
    return (
        f'<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>{escape(title)}</title>'
        f"</head>\n<body>\n{paragraphs}\n</body></html>\n"
    )


def _linked(block: str) -> str:
    out, at = [], 0
    for found in _ADDRESS.finditer(block):
        out.append(escape(block[at : found.start()]))
        out.append(f'<a href="{escape(found[0])}">{escape(found[0])}</a>')
        at = found.end()
    out.append(escape(block[at:]))
    return "".join(out).replace("\n", "<br>\n")
