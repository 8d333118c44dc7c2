"""What makes an amount doubtful: hedges, ranges, alternatives, two-way sizes."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from quotes.messages.amounts import Amount, length_of
from quotes.messages.figures import TAPE
from quotes.messages.scan import Token, listed
from quotes.messages.turns import TURN
from sizing.lengths import PER_INCH, Unit

# Next to the number.
_NEAR = listed(
    "about roughly approx approximately around circa ca nearly almost over under above below ~ barely "
    "say ish within approximate rough estimated est give strong scant fat generous shy"
)
# Anywhere before it in the same breath.
_WIDE = listed(
    "maybe perhaps probably possibly guess guesses guessed guessing thinks think unsure unclear might somewhere ballpark "
    "eyeballed eyeballing roughly approximately estimate estimating supposedly presumably seems "
    "reckon believe doubt uncertain illegible smudged thereabouts"
)
_AFTER = [
    words.split()
    for words in (
        "ish", "- ish", "or so", "approx", "approximately", "roughly", "give or take", "more or less", "maybe",
        "+ / -", "±", "i guess", "i believe", "or thereabouts", "plus", "minus", "shy", "strong", "heavy",
        "light", "scant", "fat", "+", "or less", "or more", "or close", "probably", "or something", "-ish",
        "( approx", "( roughly", "( maybe", "( guess", "( ?", "( about", "if i remember", "?", "as near as",
        "or near", "off the top of", "( not sure", "not sure", "or a", "and change", "and a bit", "est",
        "and a hair", "a hair", "hair", "plus a hair", "and a smidge", "and a touch", "and some", "just shy", "just under",
        "just over", "( est", "( i think", "( eyeballed", "( estimate", "( estimated", "( unsure", "( rough", "by eye",
    )
]  # fmt: skip
_ASKING = {"can", "could", "do", "does", "would", "will", "how", "what", "is", "are", "have", "please", "any", "may", "when", "if", "which", "should"}  # fmt: skip
_UNITS = {"in", "ins", "ft", "mm", "cm", "lb", "lbs", "kg", "oz", "m"}
_SIZES = {"sizes", "measurements", "dimensions", "numbers", "figures"}
_ROUGH = {
    "approx",
    "approximate",
    "approximately",
    "rough",
    "ballpark",
    "estimated",
    "estimates",
    "guesses",
}
_LATER = {"may", "might", "unsure", "questionable", "doubtful", "verify", "guessing"}
_LATER_PAIRS = {("could", "be"), ("not", "certain"), ("not", "positive"), ("not", "sure"), ("quote", "me"), ("hold", "me")}  # fmt: skip
_SIDES = {"left", "right", "middle", "center", "centre"}
_SIGNS = {"less", "plus", "minus", "short", "over", "under"}
_BREAKS = {".", "!", "?", ";"}


@dataclass(frozen=True)
class Across:
    """Two amounts of a size across (32 x 54), as one stretch of tokens."""

    first: Amount
    second: Amount
    sure: bool


def breaks(text: str, tokens: list[Token]) -> list[int]:
    """For each token the number of its sentence; a line end ends a sentence too."""
    short = {"no", "qty", "approx", "btm", "bot", "op", "ht", "wt", "pls", "mr", "mrs", "ms", "dr", "est", "rd", "lt", "rt", "up", "incl", "w", "h", "ca"}  # fmt: skip
    found, number = [], 0
    for at, token in enumerate(tokens):
        if token.kind in ("line", "gap"):
            number += 1
        found.append(number)
        before = tokens[at - 1].text if at else ""
        if token.text == "." and (
            before in short or (before in _UNITS and not _capital(text, tokens, at + 1))
        ):
            continue
        if token.text in _BREAKS:
            number += 1
    return found


def _all_rough(tokens: list[Token], sentence: list[int]) -> bool:
    """Whether the writer says that all the sizes are rough."""
    for at, token in enumerate(tokens):
        if token.text not in _SIZES:
            continue
        near = range(max(0, at - 2), min(len(tokens), at + 5))
        words = {tokens[i].text for i in near if sentence[i] == sentence[at]}
        if words & _ROUGH or {"be", "off"} <= words:
            return True
    return False


def _capital(text: str, tokens: list[Token], at: int) -> bool:
    return at >= len(tokens) or not text[tokens[at].start].islower()


def mark_doubts(tokens: list[Token], amounts: list[Amount], sentence: list[int]) -> None:
    """Set `doubt` on the amounts that are hedged."""
    ends = {amount.last for amount in amounts}
    starts = {amount.first for amount in amounts}
    rough = _all_rough(tokens, sentence)
    for amount in amounts:
        if _hedged_before(tokens, amount, sentence, ends) or _hedged_after(
            tokens, amount, sentence
        ):
            amount.doubt = True
        amount.doubt |= _hedged_later(tokens, amount, sentence, starts)
        amount.doubt |= rough and amount.kind == "length"
    for one, two in pairwise(amounts):
        # 46 less an eighth: what it comes to was not worked out
        sign = [t.text for t in tokens[one.last : two.first]]
        if len(sign) == 1 and sign[0] in _SIGNS and two.value < 1 and two.kind == "length":
            one.doubt = two.doubt = True
    _mark_in_pieces(tokens, amounts)


def _mark_in_pieces(tokens: list[Token], amounts: list[Amount]) -> None:
    """A size may have come in pieces: 17 3 8 for 17 3/8, the fraction on the next line. None of them is sure."""
    for one, two in pairwise(amounts):
        gap = tokens[one.last : two.first]
        apart = len(gap) < 2 and all(t.text == "," or t.kind == "line" for t in gap)
        if one.kind == "integer" and one.value > 9 and two.value < 1 and not two.unit and apart:
            one.doubt = two.doubt = True
    for three in zip(amounts, amounts[1:], amounts[2:], strict=False):
        whole, above, below = three
        close = all(t.text == "-" for t in tokens[whole.last : below.first] if t.kind != "number")
        bare = all(amount.kind == "integer" for amount in three)
        if close and bare and above.value < below.value and below.value in TAPE:
            for amount in three:
                amount.doubt = True


def _hedged_before(
    tokens: list[Token], amount: Amount, sentence: list[int], ends: set[int]
) -> bool:
    for back in range(1, 9):
        at = amount.first - back
        if at < 0 or sentence[at] != sentence[amount.first] or at + 1 in ends:
            return False
        text = tokens[at].text
        if back > 1 and text in (",", "but") and back < 8:
            return text == "," and tokens[at - 1].text in {"maybe", "perhaps"} if at else False
        near = back == 1 or (
            back == 2 and tokens[at + 1].text in ("a", "the", "to", ".", "at", "like")
        )
        if text in _NEAR and near and not (text == "over" and {at, at - 1} & ends):
            return True
        if text in _WIDE and not (
            text == "think" and at and tokens[at - 1].text in ("don't", "to")
        ):
            return True
        if text == "sure" and at and tokens[at - 1].text in ("not", "aren't", "isn't"):
            return True
        if (
            text == "like"
            and back == 1
            and at
            and tokens[at - 1].text in ("looks", "something", "be")
        ):
            return True
        if text == "be" and at and tokens[at - 1].text in ("could", "might", "may"):
            return True
    return False


def _hedged_later(
    tokens: list[Token], amount: Amount, sentence: list[int], starts: set[int]
) -> bool:
    """Whether the writer goes on to doubt it: 18 3/8 but I may have been a quarter off."""
    for at in range(amount.last, min(len(tokens), amount.last + 9)):
        text = tokens[at].text
        if at in starts or sentence[at] != sentence[amount.first] or text in (",", "and", ";"):
            return False
        pair = (text, tokens[at + 1].text if at + 1 < len(tokens) else "")
        if text in _LATER or pair in _LATER_PAIRS:
            return True
    return False


def _hedged_after(tokens: list[Token], amount: Amount, sentence: list[int]) -> bool:
    follow = [t.text for t in tokens[amount.last : amount.last + 5]]
    if follow[:1] == ["("] and any(follow[1:][: len(words)] == words for words in _AFTER):
        return True
    if follow[:1] and follow[0] in _SIGNS and follow[1:2] in (["a"], ["an"]):
        return True
    for words in _AFTER:
        if (
            follow[: len(words)] == words
            and words != ["?"]
            and words != ["plus"]
            and words != ["+"]
        ):
            return True
    last = tokens[amount.last] if amount.last < len(tokens) else None
    if last and last.glued and last.text in ("+", "?", "~"):
        if last.text != "?":
            return True
        if follow[1:2] == ["?"]:
            return True
        at = amount.first
        while at and sentence[at - 1] == sentence[amount.first]:
            at -= 1
        return not {token.text for token in tokens[at : at + 3]} & _ASKING
    for tail in (
        ["i", "think"],
        [",", "i", "think"],
        [",", "maybe"],
        ["i'd", "guess"],
        ["i", "suppose"],
    ):
        if follow[: len(tail)] == tail:
            end = amount.last + len(tail)
            after = tokens[end] if end < len(tokens) else None
            return after is None or after.kind in ("line", "gap") or after.text in ".,;!?)-"
    return False


def alternatives(tokens: list[Token], amounts: list[Amount]) -> list[tuple[Amount, Amount]]:
    """Pairs that are a range or a choice (17 or 18, 17-18, between 17 and 18); both become doubtful."""
    found: list[tuple[Amount, Amount]] = []
    for one, two in pairwise(amounts):
        between = [t.text for t in tokens[one.last : two.first]]
        if not between or len(between) > 9 or (one.kind == "weight" and two.kind == "length"):
            continue
        before = {t.text for t in tokens[max(0, one.first - 3) : one.first]}
        if _two_sides(tokens, one, two):
            one.doubt = two.doubt = True
        turned = bool(set(between) & TURN)
        span = len(between) < 5 and (
            (between[0] == "or" and not turned)
            or (between[:2] == [",", "or"] and not turned)
            or between in (["to"], ["thru"], ["through"], ["-", "or", "-"], ["/", "or", "/"])
            or (between == ["-"] and _near(one, two))
            or (between == ["and"] and bool(before & {"between", "betw", "btw", "somewhere"}))
        )
        if span:
            one.doubt = two.doubt = True
            found.append((one, two))
    return found


def _two_sides(tokens: list[Token], one: Amount, two: Amount) -> bool:
    """Whether one height was read at two places: 1108 on the left, 1111 on the right."""
    first = {t.text for t in tokens[max(0, one.first - 3) : two.first]} & _SIDES
    second = {t.text for t in tokens[two.last : two.last + 4]} & _SIDES
    return bool(first) and len(first | second) > 1 and _near(one, two)


def _near(one: Amount, two: Amount) -> bool:
    small, large = sorted((one.value, two.value))
    return small > 0 and small != large and large <= small * 11 / 10 + 2


def across(tokens: list[Token], amounts: list[Amount], tiny: int) -> list[Across]:
    """Sizes of two or three numbers (32 x 54). Sure when each number is said to be width or height."""
    found: list[Across] = []
    for one, two in pairwise(amounts):
        between = [t.text for t in tokens[one.last : two.first]]
        if not between or len(between) > 6 or one.kind == "weight" or two.kind == "weight":
            continue
        if not ({"x", "by", "*"} & set(between)) or not set(between) <= _ACROSS_WORDS:
            continue
        small = two.kind == "integer" and two.whole <= (tiny if between[0] in ("x", "*") else 12)
        if small and between[-1] in ("x", "*"):
            continue
        if one.kind == "integer" and one.whole <= tiny:
            continue
        after = [t.text for t in tokens[two.last : two.last + 2]]
        letters = "".join(t.text for t in tokens[two.last : two.last + 6])
        before = "".join(t.text for t in tokens[max(0, one.first - 8) : one.first])
        first_wide = bool(set(between) & _WIDE_WORDS)
        second_high = bool(set(after[:1]) & _HIGH_WORDS)
        first_high = bool(set(between) & _HIGH_WORDS)
        second_wide = bool(set(after[:1]) & _WIDE_WORDS)
        if "wxh" in letters[:6] or "wxh" in before or "widthxheight" in letters + before:
            first_wide = True
        if "hxw" in letters[:6] or "hxw" in before or "heightxwidth" in letters + before:
            second_wide = True
        if first_wide or second_high:
            found.append(Across(one, two, True))
        elif first_high or second_wide:
            found.append(Across(two, one, True))
        else:
            found.append(Across(one, two, False))
    return found


_WIDE_WORDS = {"wide", "w", "width", "across", "wd"}
_HIGH_WORDS = {"high", "h", "tall", "height", "hi", "ht", "long"}
_ACROSS_WORDS = (
    _WIDE_WORDS | _HIGH_WORDS | {"x", "by", "*", "in", "inches", ",", "and", "(", ")", "."}
)


def once(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Amounts less those that only say one again, in the other unit or with decimals: 440 mm (17 5/16 in)."""
    kept = amounts[:1]
    for amount in amounts[1:]:
        before = kept[-1]
        between = [t.text for t in tokens[before.last : amount.first]]
        units = {before.unit, amount.unit}
        if between in (["("], ["="]) and (before.value, before.unit) == (amount.value, amount.unit):
            continue  # 47 7/8 (47.875)
        if (
            between in (["("], ["/"], ["="], ["or"])
            and None not in units
            and "in" in units
            and len(units) == 2
        ):
            one, two = length_of(before, Unit.INCH), length_of(amount, Unit.INCH)
            if one and two and abs(one - two) < PER_INCH // 8:
                continue
        kept.append(amount)
    return kept


def wide(tokens: list[Token], amount: Amount) -> bool:
    """Whether the very next word says that this is a width (or a depth)."""
    follow = [t.text for t in tokens[amount.last : amount.last + 3]]
    if follow[:1] in (["("], ["in"]):
        follow = follow[1:]
    return bool(follow) and follow[0] in _WIDE_WORDS - {"width"} | {"deep", "thick"}
