"""Worked calls, by the demo's size tables. The page at /api/ shows them; a test makes each and compares."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

# Stands for what differs each time.
VARIES = "…"


@dataclass(frozen=True)
class Worked:
    """`{request}`, `{quote}` and `{order}` in a path are numbers that earlier calls gave back.

    `name` is how the test knows what the desk does before it.
    """

    name: str
    words: str
    method: str
    path: str
    status: int
    answer: dict[str, Any]
    body: dict[str, Any] | None = None


_KITCHEN = {
    "id": "kitchen",
    "outcome": "part",
    "part_number": "OHL-05MS",
    "row": {"glass": "20 1/4", "opening": "47 7/8", "long_point": "48 5/8"},
    "ask": None,
    "reason": "equal_split",
    "certainty": VARIES,
    "text": "Part OHL-05MS: glass 20 1/4, opening 47 7/8, long point 48 5/8 in; medium, slate.",
    "price": {"amount": "83.75", "currency": "USD", "per": "pair"},
}
_DRAFT = {
    "number": VARIES,
    "issue": 1,
    "state": "draft",
    "sentence": "Not issued yet.",
    "currency": "USD",
    "total": None,
    "valid_until": None,
    "openings": [],
    "page": None,
    "order": None,
}
_ISSUED = {
    "number": VARIES,
    "issue": 1,
    "state": "open",
    "sentence": VARIES,
    "currency": "USD",
    "total": "167.50",
    "valid_until": VARIES,
    "openings": ["Opening 1, kitchen"],
    "page": VARIES,
    "order": None,
}

# The first thing to try, as it is typed into a shell.
FIRST: dict[str, Any] = {
    "family": "otter-liner",
    "openings": [
        {
            "measures": {"upper_glass": "20 1/4", "opening": "47 7/8", "sash_weight": "12 lb"},
            "finish": "slate",
        }
    ],
}

WORKED = (
    Worked(
        name="resolve",
        words="Which part fits? One part, one question, or a special quote",
        method="POST",
        path="/resolve",
        body={
            "family": "otter-liner",
            "openings": [
                {
                    "id": "kitchen",
                    "measures": {
                        "upper_glass": "20 1/4",
                        "lower_glass": "20 5/16",
                        "opening": "3' 11 7/8\"",
                        "sash_weight": "12 lb 4 oz",
                    },
                    "finish": "slate",
                    "quantity": 2,
                },
                {
                    "id": "hall",
                    "measures": {"upper_glass": 20.25, "opening": "1216 mm", "long_point": None},
                },
                {
                    "id": "bay",
                    "measures": {
                        "upper_glass": "15 1/2",
                        "lower_glass": "23 3/4",
                        "opening": 46.625,
                    },
                },
                {"id": "loft", "measures": {"opening": "2-6"}},
            ],
        },
        status=200,
        answer={
            "answers": [
                _KITCHEN,
                {
                    "id": "hall",
                    "outcome": "ask",
                    "part_number": None,
                    "row": {"glass": "20 1/4", "opening": "47 7/8", "long_point": "48 5/8"},
                    "ask": "sash_weight",
                    "reason": "weight",
                    "certainty": VARIES,
                    "text": VARIES,
                    "price": None,
                },
                {
                    "id": "bay",
                    "outcome": "special",
                    "part_number": None,
                    "row": None,
                    "ask": None,
                    "reason": "unequal_split",
                    "certainty": VARIES,
                    "text": "Special quote: the sashes are not equal: cottage, glass 15 1/2 over 23 3/4 in (39/61). "
                    "The table has equal splits only.",
                    "price": None,
                },
                {
                    "id": "loft",
                    "outcome": "error",
                    "part_number": None,
                    "row": None,
                    "ask": None,
                    "reason": "bad_input",
                    "certainty": 0.0,
                    "text": "Opening height: “2-6” can be read as 2' 6\" or two lengths: type the one you mean.",
                    "price": None,
                },
            ]
        },
    ),
    Worked(
        name="when",
        words="When will it ship?",
        method="POST",
        path="/when",
        body={
            "questions": [
                {"id": "liner", "family": "otter-liner", "part_number": "OHL-05MS"},
                {"id": "old", "reference": "no such order"},
            ]
        },
        status=200,
        answer={
            "answers": [
                {
                    "id": "liner",
                    "earliest": VARIES,
                    "likely": VARIES,
                    "latest": VARIES,
                    "basis": VARIES,
                    "error": None,
                },
                {
                    "id": "old",
                    "earliest": None,
                    "likely": None,
                    "latest": None,
                    "basis": None,
                    "error": VARIES,
                },
            ]
        },
    ),
    Worked(
        name="leave",
        words="Leave a request; the same key again finds it again",
        method="POST",
        path="/requests",
        body={
            "key": "cart-000412",
            "caller": "Ines Calloway",
            "email": "ines@calloway.example",
            "openings": [
                {
                    "family": "otter-liner",
                    "label": "kitchen",
                    "measures": {
                        "upper_glass": "20 1/4",
                        "lower_glass": "20 5/16",
                        "opening": "47 7/8",
                        "sash_weight": 12.25,
                    },
                    "finish": "slate",
                    "quantity": 2,
                }
            ],
        },
        status=201,
        answer={"number": VARIES, "answers": [_KITCHEN], "quotes": []},
    ),
    Worked(
        name="ask for a quote",
        words="Ask for its quote; somebody at the desk checks and issues it",
        method="POST",
        path="/requests/{request}/quote",
        status=200,
        answer={"number": VARIES, "answers": [_KITCHEN], "quotes": [_DRAFT]},
    ),
    Worked(
        name="read the quote",
        words="Read the quote, here once it is issued",
        method="GET",
        path="/quotes/{quote}",
        status=200,
        answer=_ISSUED,
    ),
    Worked(
        name="accept",
        words="Accept it for the customer, who has confirmed every opening's measures",
        method="POST",
        path="/quotes/{quote}/accept",
        body={"issue": 1, "name": "Ines Calloway", "confirmed": ["Opening 1, kitchen"]},
        status=200,
        answer=_ISSUED | {"state": "accepted"},
    ),
    Worked(
        name="read the request",
        words="Read the request again, here once the desk has placed the order",
        method="GET",
        path="/requests/{request}",
        status=200,
        answer={
            "number": VARIES,
            "answers": [_KITCHEN],
            "quotes": [_ISSUED | {"state": "accepted", "order": VARIES}],
        },
    ),
    Worked(
        name="read the order",
        words="How the order stands",
        method="GET",
        path="/orders/{order}",
        status=200,
        answer={
            "number": VARIES,
            "placed_on": VARIES,
            "page": VARIES,
            "lines": [
                {
                    "number": 1,
                    "what": "OHL-05MS",
                    "quantity": 2,
                    "cancelled": 0,
                    "stands": VARIES,
                    "earliest": VARIES,
                    "likely": VARIES,
                    "latest": VARIES,
                }
            ],
        },
    ),
    Worked(
        name="refused",
        words="What can't be read is refused whole, with where to mend it",
        method="POST",
        path="/requests",
        body={
            "key": "cart-000413",
            "openings": [{"family": "otter-liner", "measures": {"opening": "2-6"}}],
        },
        status=422,
        answer={
            "error": "Some of it can't be read; nothing was stored.",
            "problems": [
                {
                    "where": "openings.0.measures.opening",
                    "words": "Opening height: “2-6” can be read as 2' 6\" or two lengths: type the one you mean.",
                }
            ],
        },
    ),
)

# What a program is told of (see ordering.news).
NEWS = {
    "id": VARIES,
    "what": "order",
    "number": VARIES,
    "happened": "placed",
    "at": VARIES,
}
