"""Which sash a glass height was said of, and where the glass meant is none of the family's measures."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from dataclasses import replace
from itertools import pairwise

from quotes.messages.amounts import Amount
from quotes.messages.attach import Join
from quotes.messages.marks import ORDINALS
from quotes.messages.scan import Token, listed
from quotes.messages.turns import turns
from quotes.messages.words import Mention, Vocabulary

_PANES = {"pane", "panes", "lite", "lites"}
_LITTLE = {"little", "small", "individual", "tiny"}
_MANY = listed("one two three four six eight nine twelve 1 2 3 4 6 8 9 12")
_THAT = {"that's", "that", "this", "it's", "its", "it", "which"}
_SEEN = {"visible", "exposed", "showing", "daylight", "viewable"}


def name_sashes(
    found: list[Token], talk: list[Mention], sentence: list[int], words: Vocabulary
) -> None:
    """ "Upper sash" means its glass where glass is being talked of; "glass in that sash" the last named."""
    last = -9
    named = heading = ""
    divided = _divided(found)
    _from_end_to_end(found, talk, words)
    _sash_with_glass(found, talk, sentence, words)
    for mention in talk:
        here = sentence[mention.first]
        if "glass" in mention.parts and (
            _only_seen(found, mention, sentence) or _one_of_many(found, mention, divided)
        ):
            mention.sense, mention.codes = "other", ()
        named = next((s for s in ("upper", "lower") if s in mention.parts), named)
        if mention.bare and mention.last < len(found) and mention.sense in ("one", "other"):
            sash = found[mention.last].text in ("sash", "sashes")
            colon = mention.last + sash < len(found) and found[mention.last + sash].text == ":"
            heading = named if colon and sash else ""
        if heading and mention.sense == "either" and words.glass(heading):
            mention.codes, mention.sense = (str(words.glass(heading)),), "one"
        follow = [t.text for t in found[mention.last : mention.last + 4]]
        if (
            mention.sense == "either"
            and named
            and "sash" in follow
            and {"that", "same", "this"} & set(follow)
        ):
            code = words.glass(named)
            mention.codes, mention.sense = ((code,), "one") if code else ((), "other")
        if "glass" in mention.parts:
            last = here
        elif mention.sense == "other" and mention.bare and mention.codes and here - last <= 1:
            mention.sense = "one" if len(mention.codes) == 1 else "each"


def _from_end_to_end(found: list[Token], talk: list[Mention], words: Vocabulary) -> None:
    """From the top of the glass to the bottom: two ends of one height, and no sash is named."""
    for one, two in pairwise(talk):
        between = {t.text for t in found[one.last : min(two.first, one.last + 5)]}
        ends = {"upper", "lower"} <= one.parts | two.parts and one.parts & two.parts <= {"glass"}
        if not ends or "to" not in between or two.first - one.last > 4:
            continue
        glass = "glass" in one.parts | two.parts
        pair = tuple(code for code in (words.glass("upper"), words.glass("lower")) if code)
        one.sense, one.codes = "other", ()
        two.sense, two.codes = ("either", pair) if glass and len(pair) == 2 else ("other", ())
        two.bare = one.bare = False


def _sash_with_glass(
    found: list[Token], talk: list[Mention], sentence: list[int], words: Vocabulary
) -> None:
    """The upper sash has 17 3/8 glass: the glass is the upper one."""
    for one, two in pairwise(talk):
        between = {t.text for t in found[one.last : min(two.first, one.last + 9)]}
        bare = one.bare and one.sense == "other" and two.sense == "either"
        if (
            bare
            and sentence[one.first] == sentence[two.first]
            and between & {"has", "have", "takes", "with", "holds"}
        ):
            code = words.glass(next((s for s in ("upper", "lower") if s in one.parts), ""))
            if code:
                one.codes = two.codes = (code,)
                one.sense = two.sense = "one"


def _divided(found: list[Token]) -> bool:
    """Whether bars divide a sash into panes: six over six, 12 panes."""
    texts = [token.text for token in found]
    for at in range(1, len(texts) - 1):
        if texts[at] == "over" and texts[at - 1].strip("-") in _MANY | {"-"}:
            return True
        if texts[at] in _PANES and texts[at - 1] in _MANY - {"one", "two", "1", "2"}:
            return True
    return False


def _one_of_many(found: list[Token], mention: Mention, divided: bool) -> bool:
    """Whether a pane is one small pane among several of a sash."""
    inside = {token.text for token in found[mention.first : mention.last]}
    small = {t.text for t in found[max(0, mention.first - 2) : mention.last]} & _LITTLE
    return bool(inside & _PANES) and (divided or bool(small))


def _only_seen(found: list[Token], mention: Mention, sentence: list[int]) -> bool:
    """Whether only the part of the glass between the stops is spoken of."""
    near = range(max(0, mention.first - 2), min(len(found), mention.last + 6))
    if any(found[at].text in _SEEN and sentence[at] == sentence[mention.first] for at in near):
        return True
    after = range(mention.last, min(len(found), mention.last + 12))
    here = " ".join(found[at].text for at in after if sentence[at] == sentence[mention.first])
    return any(f"{who} can see" in here for who in ("you", "i", "we", "one"))


def both_sashes(sentence: list[int], joins: list[Join], talk: list[Mention]) -> None:
    """One glass height of neither sash, and "both" somewhere in its sentence: it is of both."""
    used = {id(mention) for said in joins for mention in said.mentions}
    both = {
        sentence[m.first]: m for m in talk if m.sense == "each" and m.bare and id(m) not in used
    }
    for one, two in pairwise(talk):
        # glass 17 3/8, upper and lower
        pair = {"upper", "lower"} == one.parts | two.parts and one.bare and two.bare
        spare = not {id(one), id(two)} & used and two.first - one.last < 3
        if pair and spare and sentence[one.first] == sentence[two.last - 1]:
            both.setdefault(sentence[one.first], two)
    plain = [said for said in joins if [m.sense for m in said.mentions] == ["either"]]
    count = Counter(sentence[said.amount.first] for said in plain)
    for said in plain:
        here = sentence[said.amount.first]
        if here in both and count[here] == 1:
            end = max(both[here].end, said.mentions[0].end)
            said.mentions = [replace(said.mentions[0], sense="each", end=end)]


def second_readings(
    found: list[Token], joins: list[Join], sentence: list[int], talk: list[Mention]
) -> None:
    """An amount with no name beside one that has one: what the writer read twice, or shared out."""
    ordered = sorted(joins, key=lambda said: said.amount.first)
    for at, (one, two) in enumerate(pairwise(ordered)):
        between = [t.text for t in found[one.amount.last : two.amount.first]]
        if (
            one.amount.gone
            or two.amount.gone
            or len(between) > 8
            or bool(one.mentions) == bool(two.mentions)
        ):
            continue
        if two.mentions:
            behind = two.mentions[0].first >= two.amount.last and not one.amount.doubt
            two.doubtful |= _read_again(found, ordered, at)
            two.doubtful |= behind and _near_miss(one, two, between)
            glass = two.mentions[0].sense in ("either", "each")
            two.doubtful |= glass and set(between) <= {"and", "&", "/", "+"} and bool(between)
            continue
        other = any(
            m.codes and one.amount.last <= m.first < two.amount.first and m not in one.mentions
            for m in talk[bisect_left(talk, one.amount.last, key=lambda m: m.first) :][:6]
        )
        if (
            not other
            and _near_miss(one, two, between)
            and not turns(found, [one.amount, two.amount], sentence)
        ):
            one.doubtful = True
        words = {word for word in between if not word.isdecimal()}
        if words & {"and", "&"} and words <= {"and", "&", ",", "(", ")", "x"}:
            one.doubtful = True  # one of several: 622 and 738


def _read_again(found: list[Token], ordered: list[Join], at: int) -> bool:
    """Whether a list of nameless amounts, one of them nearly the same, leads up to a named one."""
    named = ordered[at + 1].amount
    after = named
    while at >= 0 and not ordered[at].mentions:
        amount = ordered[at].amount
        between = {t.text for t in found[amount.last : after.first]}
        if not between or not between <= {",", "and", "&", "then", "/"}:
            return False
        small, large = sorted((amount.value, named.value))
        if 0 < small < large <= small * 9 / 8:
            return True
        after, at = amount, at - 1
    return False


def _near_miss(one: Join, two: Join, between: list[str]) -> bool:
    """Whether two amounts of one breath are nearly the same: most likely one thing read twice."""
    small, large = sorted((one.amount.value, two.amount.value))
    near = 0 < small < large <= small * 9 / 8
    counted = any(word.isdecimal() for word in between)
    stop = counted or {".", "!", "?", ";", "not"} & set(between) or "\n" in "".join(between)
    return near and not stop


_TELLS = {"is", "was", "has", "had", "measures", ":"}
_ONE_OF = {*ORDINALS, "other", "another", "last"}


def over(found: list[Token], joins: list[Join], words: Vocabulary) -> None:
    """Glass 17 3/8 over 23 3/8: the upper sash's over the lower's. The first one is 16 over 24 1/4: of glass, too,
    where of another window both sashes' is told."""
    upper, lower = words.glass("upper"), words.glass("lower")
    if not (upper and lower):
        return
    told = next((m for said in joins for m in said.mentions if m.sense == "each"), None)
    for one, two in pairwise(sorted(joins, key=lambda said: said.amount.first)):
        between = [t.text for t in found[one.amount.last : two.amount.first] if t.text != "glass"]
        glass = any(m.sense in ("either", "each") for m in [*one.mentions, *two.mentions])
        plain = all(m.sense in ("either", "each") for m in [*one.mentions, *two.mentions])
        if between in (["/"], ["and"], ["&"]) and not one.mentions and _both_follow(two, words):
            # 16 1/2 and 24 top and bottom: one each, in the order in which they are named
            one.mentions, two.mentions = two.mentions[:1], two.mentions[1:]
        if between != ["over"]:
            continue
        if glass and plain:
            name = (one.mentions or two.mentions)[0]
            one.mentions = [replace(name, codes=(upper,), sense="one")]
            two.mentions = [replace(name, codes=(lower,), sense="one")]
        elif told and not (one.mentions or two.mentions) and _begins_a_window(found, one):
            one.mentions = [_as_said(told, upper, one.amount)]
            two.mentions = [_as_said(told, lower, two.amount)]


def _both_follow(said: Join, words: Vocabulary) -> bool:
    """Whether the glass of both sashes is named after an amount, each by its own word."""
    named = [m.codes for m in said.mentions if m.sense == "one" and m.first >= said.amount.last]
    glass = [(words.glass("upper"),), (words.glass("lower"),)]
    return len(named) == len(said.mentions) == 2 and named in (glass, glass[::-1])


def _as_said(told: Mention, code: str, amount: Amount) -> Mention:
    """A sash's glass that the amount alone tells."""
    first, last, start, end = amount.first, amount.last, amount.start, amount.end
    return replace(told, codes=(code,), sense="one", first=first, last=last, start=start, end=end)


def _begins_a_window(found: list[Token], said: Join) -> bool:
    """Whether a window that is one of several has been named right before: the first one is, the other has."""
    at = said.amount.first
    before = [token.text for token in found[max(0, at - 4) : at]]
    return bool(before) and before[-1] in _TELLS and bool(_ONE_OF & set(before))


def told_after(
    found: list[Token],
    sentence: list[int],
    joins: list[Join],
    talk: list[Mention],
    words: Vocabulary,
) -> None:
    """The glass is 17 3/8. That's the lower: which sash it was of is said afterwards."""
    used = {id(mention) for said in joins for mention in said.mentions}
    for said in joins:
        if [m.sense for m in said.mentions] != ["either"]:
            continue
        at = bisect_left(talk, said.amount.last, key=lambda m: m.first)
        after = talk[at] if at < len(talk) else None
        if after is None or not after.bare or id(after) in used or len(after.parts) != 1:
            continue
        start = after.first - 1
        while start > said.amount.last and found[start].text in _THAT | {"the", "is", "was", "for"}:
            start -= 1
        begins = start >= said.amount.last - 1 and found[start].text in (".", ",", ";", "-", "(")
        code = words.glass(next(iter(after.parts)))
        if begins and code and sentence[after.first] - sentence[said.amount.first] < 2:
            said.mentions = [replace(said.mentions[0], codes=(code,), sense="one")]
