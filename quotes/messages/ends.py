""" "From the sill to the head": a height named by its two ends."""

from __future__ import annotations

from quotes.messages.scan import listed

_ENDS = {
    "sill": "sill", "sills": "sill", "windowsill": "sill",
    "head": "head", "header": "head", "heads": "head",
    "jamb": "jamb", "jambs": "jamb", "side": "side", "wall": "wall", "stool": "stool", "casing": "casing",
    "floor": "floor", "left": "side", "right": "side",
}  # fmt: skip
_BEFORE = listed("from the a of underside bottom top inside")
_AFTER = listed("up down straight jamb all way the")


def between_ends(spelled: list[str], at: int) -> tuple[int, str]:
    """How many words from `at` on say from where to where, and what that is: "height" from sill to
    head, "other" between other ends; (0, "") if they say no such thing."""
    here = at
    if not spelled[here] or spelled[here] not in _ENDS.keys() | (_BEFORE - {"the", "a", "of"}):
        return 0, ""
    here = _skip(spelled, here, _BEFORE)
    first = _end(spelled, here)
    if not first:
        return 0, ""
    here = _skip(spelled, here + 1, _AFTER)
    here += here < len(spelled) and spelled[here] == "-"
    if spelled[here : here + 1] != ["to"]:
        return 0, ""
    here += 1
    here += here < len(spelled) and spelled[here] == "-"
    here = _skip(spelled, here, _BEFORE)
    second = _end(spelled, here)
    if not second:
        return 0, ""
    here += 1
    here += spelled[here : here + 1] == ["jamb"] and second == "head"
    upright = spelled[here : here + 1] in (["height"], ["high"])
    if {first, second} == {"sill", "head"} or ({first, second} == {"jamb"} and upright):
        return here - at, "height"
    return here - at, "other"


def _end(spelled: list[str], at: int) -> str:
    return _ENDS.get(spelled[at], "") if at < len(spelled) else ""


def _skip(spelled: list[str], at: int, words: frozenset[str]) -> int:
    last = at + 6
    while at < min(len(spelled), last) and spelled[at] in words:
        at += 1
    return at
