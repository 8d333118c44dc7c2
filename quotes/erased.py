"""What is left of a customer once erased: the rules, on plain data. Knows no Django.

Books stay: numbers, dates, amounts, parts, sizes as understood, the place a tax was due. The person
goes: names, ways to reach them, streets, notes, and every word they or the desk typed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from quotes.documents.content import TO_MAKE

ERASED = "erased"
ERASED_CUSTOMER = "Erased customer"
# What was sent stays sent, to nobody: a domain that can never exist (RFC 2606).
NOWHERE = "erased@erased.invalid"

GOES = (
    "the customer's name, contacts, streets and notes",
    "callers, phones, e-mails, notes and names of windows in their requests; measures as they were typed",
    "uploaded window schedules",
    "the customer, the destination, the note and the typed words in issued quotes",
    "names and words of acceptances and of changes asked for, and the customer's own order numbers",
    "mails: to whom, about what, and their text",
    "notes of orders, and the reasons written into their history",
    "links: whoever still has one opens nothing",
)
STAYS = (
    "numbers and dates of requests, quotes, issues and orders",
    "lines with their parts, counts, prices, taxes and totals; sizes as the desk understood them",
    "what was sold by hand, without the customer's own name in it",
    "town, state and country, and a tax exemption's number: the tax was worked out by them",
    "who at the desk did what, and when",
)


class Scrub:
    """Takes a person's own words out of a text that stays: each as a whole, however it is written."""

    def __init__(self, words: Iterable[str]) -> None:
        # A name goes as a whole and in its parts: "for Quill" is Mara Quill too.
        known = {word for text in words for word in (text.strip(), *text.split())}
        told = sorted((w for w in known if len(w) >= 3), key=len, reverse=True)
        self._known = re.compile(
            "|".join(rf"(?<!\w){re.escape(word)}(?!\w)" for word in told) or r"(?!)", re.IGNORECASE
        )

    def text(self, text: str) -> str:
        return self._known.sub("…", text)


def opening_name(name: str) -> str:
    """Its place alone: "Opening 2, Kitchen" is "Opening 2"."""
    return name.partition(", ")[0]


def document_without_person(plain: Mapping[str, Any], scrub: Scrub) -> dict[str, Any]:
    """An issued quote's document (`documents.content.to_plain`) with the same lines and sums, and nobody in it."""
    sheets = {
        place: [sheet_without_words(sheet, scrub) for sheet in plain[place]]
        for place in ("openings", TO_MAKE)
        if place in plain
    }
    return {
        **plain,
        "customer": [ERASED_CUSTOMER],
        "ship_to": [ERASED] if plain["ship_to"] else [],
        "note": "",
        "lines": [_line(line, scrub) for line in plain["lines"]],
        **sheets,
    }


def _line(line: Mapping[str, Any], scrub: Scrub) -> dict[str, Any]:
    # A part's words are its table's own; only what was typed can hold a name.
    words = line["description"] if line["part_number"] else scrub.text(line["description"])
    names = [opening_name(name) for name in line["openings"]]
    return {**line, "description": words, "openings": names}


def sheet_without_words(sheet: Mapping[str, Any], scrub: Scrub) -> dict[str, Any]:
    """One opening of a paper: its sizes as understood, without what was typed."""
    width, height, title, description, drawn = sheet["drawing"]
    return {
        **sheet,
        "name": opening_name(sheet["name"]),
        "measures": [{**measure, "said": ""} for measure in sheet["measures"]],
        "drawing": [width, height, scrub.text(title), scrub.text(description), drawn],
    }


def answer_without_words(answer: Mapping[str, Any]) -> dict[str, Any]:
    """What the resolver made of an opening: the outcome, the row and the part, without its sentences."""
    kept = ("outcome", "part_number", "row", "reason", "certainty")
    return {key: answer[key] for key in kept if key in answer}
