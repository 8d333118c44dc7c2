"""What of a call has not the form it should, in a sentence that says what to give instead."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from config.api.schemas import DAY, KEY, MOST_SAID, MOST_TEXT, NO_NUL, ORDER

_DAY = "Give a day as YYYY-MM-DD."
_WHOLE = "Give a whole number."
_OBJECT = "Give a JSON object."
# By pydantic's own names of what is wrong.
_WORDS = {
    "missing": "It is missing: give it.",
    "extra_forbidden": "There is no field of this name: leave it out.",
    "string_type": "Give a text.",
    "string_unicode": "It holds half of a character: give a text of whole ones.",
    "int_type": _WHOLE,
    "int_parsing": _WHOLE,
    "int_from_float": _WHOLE,
    "float_type": "Give a number.",
    "finite_number": "Give a number that is finite.",
    "greater_than_equal": "Give {ge} or more.",
    "less_than_equal": "Give {le} or less.",
    "string_too_long": "Give at most {max_length} characters.",
    "string_too_short": "It is empty: give it.",
    "too_short": "Give at least {min_length}.",
    "too_long": "Give at most {max_length}.",
    "dict_type": _OBJECT,
    "model_type": _OBJECT,
    "model_attributes_type": _OBJECT,
    "list_type": "Give a JSON list.",
}
_PATTERNS = {
    DAY: _DAY,
    KEY: "Give 8 to 60 letters, digits, hyphens or underscores.",
    NO_NUL: "It holds the character U+0000, which cannot be stored: leave it out.",
    ORDER: "Give the order's number, such as C-00012.",
}
_MEASURE = (
    f"Give a text of at most {MOST_TEXT} characters, a number from 0 to {MOST_SAID:,}, or null."
)


def in_sentences(errors: Iterable[Mapping[str, Any]]) -> dict[str, str]:
    """Where in the call, such as openings.0.quantity, and what to do there; one sentence a place."""
    found: dict[str, str] = {}
    for one in errors:
        # ("body", "asked", "openings", 0, "quantity"): the first two are this program's own names.
        steps = [str(step) for step in one["loc"][2 if one["loc"][0] == "body" else 1 :]]
        words = _sentence(one)
        if "measures" in steps[:-1]:
            # Text or number: pydantic says of each why it is not that.
            steps, words = steps[: steps.index("measures") + 2], _MEASURE
        found.setdefault(".".join(steps) or "body", words)
    return found


def _sentence(error: Mapping[str, Any]) -> str:
    context = error.get("ctx", {})
    if error["type"] == "string_pattern_mismatch":
        return _PATTERNS[context["pattern"]]
    return _WORDS.get(error["type"], f"{error['msg']}.").format(**context)
