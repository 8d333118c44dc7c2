"""The finishes a message names, as the family spells them."""

from __future__ import annotations

from quotes.messages.pieces import Finish
from quotes.messages.scan import Token

_THINGS = {"roof", "tree", "trees", "street", "st", "tile", "tiles", "counter", "road", "board", "drive", "lane", "wednesday", "hill", "floor", "floors", "cloth"}  # fmt: skip
_NOT = {"not", "no", "isn't", "without", "never", "don't", "dont", "except", "than", "of"}
_OLD = {"currently", "existing", "old", "was", "were", "current", "originally", "now", "used"}
_HEDGES = {"maybe", "perhaps", "probably", "possibly", "think", "guess", "either", "unsure", "might", "leaning"}  # fmt: skip
_TURN = {"wait", "sorry", "actually", "correction", "rather", "scratch", "oops", "meant", "mean", "instead", "make", "no"}  # fmt: skip


def finishes(
    tokens: list[Token], sentence: list[int], known: dict[str, list[list[str]]]
) -> list[Finish]:
    """All finishes named, in their order, the longest name first where two begin alike."""
    by_first: dict[str, list[tuple[list[str], str]]] = {}
    for name, spellings in known.items():
        for spelled in spellings:
            by_first.setdefault(spelled[0], []).append((spelled, name))
    found: list[Finish] = []
    texts = [token.text for token in tokens]
    at = 0
    while at < len(tokens):
        options = sorted(by_first.get(texts[at], ()), key=lambda option: -len(option[0]))
        hit = next((o for o in options if texts[at : at + len(o[0])] == o[0]), None)
        if hit is None:
            at += 1
            continue
        last = at + len(hit[0])
        finish = Finish(hit[1], at, last, tokens[at].start, tokens[last - 1].end)
        if _wanted(texts, tokens, sentence, finish):
            _against(found, texts, finish)
            found.append(finish)
        at = last
    return found


def _wanted(texts: list[str], tokens: list[Token], sentence: list[int], finish: Finish) -> bool:
    """Whether the words around leave it a finish that is asked for; hedges make it doubtful."""
    after = texts[finish.last] if finish.last < len(texts) else ""
    if after in _THINGS:
        return False
    before: list[str] = []
    for at in range(finish.first - 1, max(-1, finish.first - 9), -1):
        if sentence[at] != sentence[finish.first] or texts[at] in (",", "but", "."):
            break
        before.append(texts[at])
    if "except" in before[:2] and "same" in before:
        return True
    if (before[:1] and before[0] in _NOT) or (
        before[1:2] and before[1] in _NOT and before[0] in ("the", "in", "want", "plain", "just")
    ):
        return False
    if set(before) & _OLD - {"now"}:
        return False
    if set(before) & _HEDGES:
        finish.doubt = True
    if (
        after == "?"
        and tokens[finish.last].glued
        and (not before or texts[finish.last + 1 : finish.last + 2] == ["?"])
    ):
        finish.doubt = True
    follow = texts[finish.last : finish.last + 3]
    if follow[:2] in (["i", "think"], ["i", "guess"]) and follow[2:] in ([], ["."], [","], ["\n"]):
        finish.doubt = True
    return True


def _against(found: list[Finish], texts: list[str], finish: Finish) -> None:
    """Two finishes with "or" between are both in doubt; a correction takes the first one back."""
    if not found:
        return
    between = texts[found[-1].last : finish.first]
    if len(between) < 5 and ("or" in between or between == ["/"]) and not set(between) & _TURN:
        found[-1].doubt = finish.doubt = True
        finish.start = found[-1].start
    elif len(between) < 9 and set(between) & _TURN:
        finish.corrects = True
