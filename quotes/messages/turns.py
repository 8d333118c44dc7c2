"""What takes an amount back: a correction, a denial, what was said earlier and holds no more."""

from __future__ import annotations

from itertools import pairwise

from quotes.messages.amounts import Amount
from quotes.messages.scan import Token, listed
from quotes.messages.words import Mention

_NOT = {"not", "isn't", "wasn't", "ain't", "aren't", "isnt", "wasnt", "never"}
_LACK = _NOT | {
    "no", "without", "don't", "dont", "haven't", "havent", "can't", "cant", "cannot", "didn't", "didnt",
    "couldn't", "couldnt", "unknown", "skip", "forget", "ignore", "except", "nor", "hasn't", "doesn't",
}  # fmt: skip
TURN = listed(
    "sorry wait correction actually scratch oops whoops rather meant mean typo mistake misread edit strike "
    "correcting corrected instead update revised mistyped misspoke pardon err hang recheck rechecked "
    "remeasured correct apologies fix wrong"
)
_TURN_PAIRS = {
    ("was", "off"),
    ("right", "number"),
    ("right", "one"),
    ("right", "size"),("make", "that"), ("make", "it"), ("should", "be"), ("should", "read"), ("change", "that"), ("hold", "on"), ("but", "rather")}  # fmt: skip
_EARLIER = {("(", "was"), ("it", "was"), ("which", "was"), ("(", "not")}
_NOW = {"but", "now", "actually", "it's", "its"}


def mark_taken_back(tokens: list[Token], amounts: list[Amount], sentence: list[int]) -> None:
    """Set `gone` on the amounts that the writer denies, or reports as said earlier."""
    for at, amount in enumerate(amounts):
        before = [t.text for t in tokens[max(0, amount.first - 3) : amount.first]]
        denied_ = before[-1:] and (
            before[-1] in _NOT or before[-2:] in (["instead", "of"], ["rather", "than"])
        )
        if denied_ or (before[-2:-1] and before[-2] in _NOT and before[-1] in ("the", "a", ":")):
            amount.gone = True
        here = sentence[amount.first]
        last = amounts[at - 1] if at else None
        follow = amounts[at + 1] if at + 1 < len(amounts) else None
        was = tuple(before[-2:]) in _EARLIER and last and sentence[last.first] == here
        gap = {t.text for t in tokens[amount.last : follow.first]} if follow else set()
        if was or (gap & _NOW and len(gap) < 20 and _said_earlier(tokens, amount, before)):
            amount.gone = True


def _said_earlier(tokens: list[Token], amount: Amount, before: list[str]) -> bool:
    """Whether the writer reports what was said before: it was 1060 I said, not 1060 as I wrote."""
    after = [t.text for t in tokens[amount.last : amount.last + 3]]
    told = set(after[:2]) & {"i"} and set(after[1:3]) & {"said", "wrote", "gave", "told"}
    said = before[-1:] == ["told"] or before[-2:] in (
        ["i", "said"],
        ["i", "wrote"],
        ["you", "wrote"],
    )
    return bool(told) or said or before == ["used", "to", "be"] or tuple(before[-2:]) in _EARLIER


def turns(
    tokens: list[Token], amounts: list[Amount], sentence: list[int]
) -> dict[int, tuple[Amount, int]]:
    """Amounts (by their first token) that correct the amount before them: which, and at what word.

    A line that begins with "Corrected:" corrects with all its amounts.
    """
    found: dict[int, tuple[Amount, int]] = {}
    restated = -1
    for one, two in pairwise(amounts):
        if two.gone:
            continue
        if restated >= 0 and sentence[two.first] == sentence[restated]:
            found[two.first] = (one, one.last)
            continue
        first = one.last if two.first - one.last < 17 else two.first - 8
        cue = _turn([t.text for t in tokens[first : two.first]])
        if cue is not None:
            found[two.first] = (one, first + cue)
            heading = tokens[first + cue + 1].text == ":" and tokens[first + cue - 1].kind == "line"
            restated = first + cue if heading else -1
        elif (
            one.gone
            and not two.gone
            and {"but", "it's", "its", ",", "is"} & {t.text for t in tokens[first : two.first]}
        ):
            found[two.first] = (one, one.last)
    return found


def _turn(between: list[str]) -> int | None:
    """Where in the words between two amounts the writer turns back on the first; None if nowhere."""
    for at, text in enumerate(between):
        after = between[at + 1] if at + 1 < len(between) else ""
        before = between[at - 1] if at else ","
        meant = after == "i" and between[at + 2 : at + 3] in (["meant"], ["mean"], ["misread"])
        polite = after in ("for", "about", "i", "to", "but", "if") and before != "-"
        if text == "sorry" and polite and not meant:
            continue
        if text in TURN or (text, after) in _TURN_PAIRS:
            return at
        if text == "no" and at == 0 and after == ".":
            continue  # 3 no.: how many
        stop = before in {",", "-", ".", "!", "(", ";"} or at == 0
        if text in ("no", "nope", "nah", "er", "uh") and stop and after in {"", ",", "it's", "its", "that's", "-", ".", "make", "the", ":"}:  # fmt: skip
            return at
    return None


def denied(tokens: list[Token], mentions: list[Mention], sentence: list[int]) -> set[int]:
    """Mentions (by their first token) that the writer has not got, or says are not meant."""
    found: set[int] = set()
    edges = {m.last for m in mentions}
    for mention in mentions:
        if mention.last < len(tokens) and tokens[mention.last].text in (":", "="):
            continue
        for back in range(1, 6):
            at = mention.first - back
            if (
                at < 0
                or sentence[at] != sentence[mention.first]
                or tokens[at].text in (",", "but", ":", "-")
            ):
                break
            if at + 1 in edges and back > 1:
                break
            if tokens[at].text in _LACK:
                if tokens[at].text == "no" and back > 2:
                    break
                found.add(mention.first)
                break
    return found
