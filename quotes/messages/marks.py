"""Words that say which window is meant: rooms, numbers, "the other two", list marks."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from quotes.messages.scan import Token, listed

ROOMS = listed(
    "kitchen bath bathroom bedroom master living dining den hall hallway stairs stairway staircase stairwell "
    "porch attic basement laundry office nursery garage study parlor parlour guest family library landing "
    "mudroom sunroom pantry entry foyer playroom lounge loft cellar utility workshop closet conservatory "
    "upstairs downstairs bdrm bdrms bedrm bedrms bedrooms baths bthrm ktchn kit fam salon br br1 br2 lr dr mbr cottage-room ensuite powder toilet wc shed barn lobby"
)
# Rooms of which a house has several, told apart by numbers.
MANY_OF = listed("bedroom bath bathroom bdrm bedrm br office closet")
SIDES = listed("front back rear north south east west left right middle centre center end side")
_ROOM_TAILS = {"room", "rm", "rms", "bedroom", "bath", "bathroom", "br", "hall", "window", "windows", "side", "one", "wall", "suite", "office"}  # fmt: skip
ORDINALS = {
    word: n
    for n, words in enumerate(
        ("first 1st", "second 2nd", "third 3rd", "fourth 4th", "fifth 5th", "sixth 6th",
         "seventh 7th", "eighth 8th", "ninth 9th", "tenth 10th"), 1,
    )
    for word in words.split()
}  # fmt: skip
_FLOORS = {"floor", "story", "storey"}
_NO_ORDER = {"floor", "story", "storey", "street", "st", "time", "of", "day", "thing", "ave", "week", "st.", "avenue"}  # fmt: skip
NUMBERED = listed(
    "window windows win wdw opening unit item no number room w bedroom line # flat apt apartment house plot "
    "rm lot bay building bldg cabin suite size type style group set batch"
)
_NO_TITLE = listed(
    "qty quantity need needs want wants order get take send times number count about of and for with"
)
# What stands before the number of a flat; a line that begins with it is about that flat's window.
DOORS = listed("flat apt apartment unit room rm house plot suite")
_WINDOW_WORDS = {"window", "windows", "win", "wdw", "item"}
_AFTER_LETTER = {"except", "but", "with", ",", ".", "in", "and"}
_SPELLED = {"one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6"}
_OTHER = {"another", "other", "others", "rest", "next", "remaining"}
_KINDS = {
    "small",
    "smaller",
    "big",
    "bigger",
    "large",
    "larger",
    "tall",
    "taller",
    "short",
    "shorter",
    "wide",
    "narrow",
}
_OTHER_TAILS = {
    "one", "window", "opening", "two", "three", "four", "five", "six", "is", "are", "have", "has", "with", ":", "2",
    "3", "4", "5", "6", "windows", "ones", "of", "measure", "measures", "kitchen", "bedroom", "bath", "room", "-",
}  # fmt: skip
_ORDER_TAILS = {"size", "one", "in", "window", "opening", "is", "has", ":", "-", "set", "unit", ","}
_CLOSE = {":", ")", ".", "-", "]", "=", "("}
_LETTERS = set("abcdefghijkl")
# Before the place of a label in the message.
CODED = "@"


@dataclass
class Mark:
    """kind is room, number, other or item; `firm` marks name a window whatever stands around them.

    `label` is the same for the same window. An item is a list mark: what it starts may be one
    window or one measure, which only the whole list shows.
    """

    kind: str
    label: str
    first: int
    last: int
    firm: bool = True


def marks(tokens: list[Token], taken: set[int]) -> list[Mark]:
    """All marks in their order; `taken` are tokens of measures."""
    found: list[Mark] = []
    numbered, counted, lettered = _in_line(tokens), _counted(tokens), _lettered(tokens)
    lettered |= _coded(tokens)
    in_rooms = _counted_rooms(tokens)
    at = 0
    while at < len(tokens):
        fresh = at == 0 or tokens[at - 1].kind in ("line", "gap")
        item = _item(tokens, at, taken) if fresh and at not in counted else None
        mark = lettered.get(at) or item or numbered.get(at)
        if mark is None and at not in taken:
            mark = (
                _room(tokens, at, in_rooms)
                or _numbered(tokens, at, fresh, taken)
                or _order(tokens, at, taken)
            )
        if mark is None:
            at += 1
            continue
        if mark.kind == "room" and found and found[-1].kind == "number" and found[-1].last == at:
            before = found.pop()  # plot 7 lounge
            mark = Mark("room", f"{before.label} {mark.label}", before.first, mark.last)
        found.append(mark)
        at = mark.last
    return found


def _in_line(tokens: list[Token]) -> dict[int, Mark]:
    """Windows numbered in running text, by their first token: (1) ...; (2) ... or Bay 1: ... Bay 2: ...

    Numbers in brackets only if they count up from 1, each at the beginning of a clause: else they
    are counts. A word before a number only if it comes again with another one.
    """
    found: list[Mark] = []
    for at, token in enumerate(tokens):
        opened = token.text == "("
        number, close = _text(tokens, at + opened), _text(tokens, at + opened + 1)
        before = _text(tokens, at - 1)
        if before not in {"", ";", ":", ".", ","} or close != ")" or not number.isdecimal():
            continue
        found.append(Mark("number", number, at, at + opened + 2))
    named: dict[str, list[Mark]] = {}
    for at, token in enumerate(tokens):
        number = _text(tokens, at + 1)
        title = token.kind == "word" and len(token.text) > 1 and token.text not in _NO_TITLE
        if title and number.isdecimal() and len(number) < 4 and _text(tokens, at + 2) == ":":
            named.setdefault(token.text, []).append(Mark("number", number, at, at + 3))
    alike = [m for same in named.values() if len({m.label for m in same}) > 1 for m in same]
    if alike:
        return {mark.first: mark for mark in alike}
    counts_up = [mark.label for mark in found] == [str(n + 1) for n in range(len(found))]
    return {mark.first: mark for mark in found} if counts_up and len(found) > 1 else {}


def _lettered(tokens: list[Token]) -> dict[int, Mark]:
    """Lines that begin with A., B., C. in their order: each is a window. B. alone is the bottom."""
    found = [
        Mark("number", token.text, at, at + 2) for at, token in enumerate(tokens)
        if token.text in _LETTERS and _text(tokens, at + 1) in (".", ")")
        and (at == 0 or tokens[at - 1].kind in ("line", "gap")) and tokens[at + 1].glued
    ]  # fmt: skip
    in_order = [mark.label for mark in found] == sorted(_LETTERS)[: len(found)]
    return {mark.first: mark for mark in found} if in_order and len(found) > 1 else {}


def _coded(tokens: list[Token]) -> dict[int, Mark]:
    """Doors such as 2B and 3A, each before a colon or a dash: whose window is told there. Their labels are where
    they stand, as what they say is masked."""
    found = [
        Mark("number", f"{CODED}{token.start}:{token.end}", at, at + 2)
        for at, token in enumerate(tokens)
        if (token.kind, token.text) == ("other", "model")
        and (_text(tokens, at + 1) == ":" or (_text(tokens, at + 1) == "-" and not tokens[at + 1].glued))
        and _text(tokens, at - 1) in {"", ".", ";", ",", "*", "-"}
    ]  # fmt: skip
    return {mark.first: mark for mark in found} if len(found) > 1 else {}


def _counted(tokens: list[Token]) -> set[int]:
    """Brackets round a number that begin lines and do not count up from 1: they say how many."""
    starts = [
        at for at, token in enumerate(tokens)
        if token.text == "(" and (at == 0 or tokens[at - 1].kind in ("line", "gap"))
        and _text(tokens, at + 1).isdecimal() and _text(tokens, at + 2) == ")"
    ]  # fmt: skip
    numbers = [int(_text(tokens, at + 1)) for at in starts]
    up = all(one < two for one, two in pairwise(numbers))
    return set() if up or len(numbers) < 2 else set(starts)


def _text(tokens: list[Token], at: int) -> str:
    inside = 0 <= at < len(tokens) and tokens[at].kind not in ("line", "gap")
    return tokens[at].text if inside else ""


def _item(tokens: list[Token], at: int, taken: set[int]) -> Mark | None:
    """A list mark at the beginning of a line: *, -, 1), 1., a), #1."""
    token = tokens[at]
    if token.text in ("*", "-", "+", "~") and at + 1 < len(tokens) and not tokens[at + 1].glued:
        return Mark("item", "", at, at + 1, False)
    if token.text in ("*", "-") and _text(tokens, at + 1) not in ("-", "*", ""):
        return Mark("item", "", at, at + 1, False)
    opened = token.text in ("(", "[", "#")
    number = tokens[at + opened] if at + opened < len(tokens) else token
    close = _text(tokens, at + opened + 1)
    short = number.text.isdecimal() and len(number.text) < (5 if token.text == "#" else 3)
    if opened and token.text == "#" and short:
        return Mark("number", number.text, at, at + 2 + (close in _CLOSE - {"("}))
    if (
        (short or number.text in _LETTERS)
        and close in {")", ".", ":", "]"}
        and at + opened not in taken
    ):
        mark = tokens[at + opened + 1]
        if mark.glued and not (close == "." and number.text in _LETTERS and number.text != "a"):
            return Mark("item", number.text, at, at + opened + 2, False)
    if short and close == "-" and at + opened not in taken and not tokens[at + opened + 1].glued:
        return Mark("item", number.text, at, at + opened + 2, False)
    return None


def _counted_rooms(tokens: list[Token]) -> set[int]:
    """Numbers behind rooms that follow each other (kitchen 2, bath 1): how many go where. Those of one kind of room
    (bath 1, bath 2) are its names."""
    starts = [
        at for at, t in enumerate(tokens) if t.text in ROOMS and _text(tokens, at + 1).isdecimal()
    ]
    return {
        at + 1 for one, two in pairwise(starts) for at in (one, two)
        if tokens[one].text != tokens[two].text and two - one < 4
        and all(t.text in (",", ";", "and", "&") for t in tokens[one + 2 : two])
    }  # fmt: skip


def _room(tokens: list[Token], at: int, counted: set[int]) -> Mark | None:
    """Kitchen, front bedroom, guest bath 2, the north side window."""
    first = at
    words: list[str] = []
    while _text(tokens, at) in ROOMS | SIDES | ({"room"} if words else set()) or (
        words and _text(tokens, at) in _ROOM_TAILS
    ):
        if _text(tokens, at) == "one" and _text(tokens, at + 1) in ("of",):
            break
        words.append(_text(tokens, at))
        at += 1
    if _text(tokens, at) in ("scale", "scales", "sink", "remodel", "renovation"):
        return None
    if words[-1:] in (["upstairs"], ["downstairs"]) and _text(tokens, at) in ("sash", "glass"):
        return None
    rooms = [word for word in words if word in ROOMS]
    if not rooms and not (words and words[-1] in {"window", "windows", "one", "room"}):
        return None
    if words[0] == "end" and _text(tokens, at) == "to":
        return None
    number = _text(tokens, at)
    numbered = number in ("#",) or (number.isdecimal() and len(number) == 1 and at not in counted)
    follow = _text(tokens, at + 1)
    if numbered and follow in {":", ")", "-", ",", "window"} | NUMBERED - {"windows"}:
        words.append(number)
        at += 1
    elif number == "#" and _text(tokens, at + 1).isdecimal():
        words.append(_text(tokens, at + 1))
        at += 2
    fresh = first == 0 or tokens[first - 1].kind in ("line", "gap") or _text(tokens, first - 1) in {".", ";", "the", "-", ")", "*", ":"}  # fmt: skip
    firm = (
        fresh
        or _text(tokens, at) in {":", "-", "window"}
        or words[-1] in ("window", "windows", "one")
    )
    label = " ".join(w for w in words if w not in ("window", "windows", "one", "room"))
    return Mark("room", label or " ".join(words), first, at, firm)


def _numbered(tokens: list[Token], at: int, fresh: bool, taken: set[int]) -> Mark | None:
    """Window 2, opening #3:, W1, item A, size two:."""
    word = _text(tokens, at)
    if word not in NUMBERED:
        return None
    here = at + 1
    while _text(tokens, here) in ("#", "no", "number", ".") and here < at + 4:
        here += 1
    if here in taken or (word == "windows" and _text(tokens, here + 1) != ":"):
        return None
    said = _text(tokens, here)
    number = _SPELLED.get(said, said)
    close = _text(tokens, here + 1)
    if close in ("x", "by", "*"):
        return None  # a window 30 x 46
    ends = close in {
        ":",
        ")",
        "",
        "is",
        "has",
        "needs",
        "wants",
        "gets",
        "takes",
        "same",
        "ditto",
    } | ROOMS or (close == "-" and not tokens[here + 1].glued)
    if number in _LETTERS:
        sure = (
            ends
            or _text(tokens, at - 1) == "of"
            or (word == "window" and said != "a" and close in _AFTER_LETTER)
        )
    elif number.isdecimal() and len(number) < 3:
        free = (
            word in _WINDOW_WORDS
            and (said == number or word == "window")
            and not (word == "windows" and close != ":")
        )
        sure = (
            free
            or (word == "#" and said == number)
            or (ends and word not in ("no", "number", "opening"))
        )
        sure = sure or (fresh and (close in {":", ")", "-"} or word in DOORS))
    else:
        return None
    return Mark("number", number, at, here + 1 + (close in {":", ")"})) if sure else None


def _order(tokens: list[Token], at: int, taken: set[int]) -> Mark | None:
    """The first one, 2nd window, another, the other two, the rest."""
    word, follow = _text(tokens, at), _text(tokens, at + 1)
    before = _text(tokens, at - 1)
    if word in ORDINALS and follow in _FLOORS and _text(tokens, at + 2) == ":":
        return Mark("room", f"{word} {follow}", at, at + 2)
    if word in ORDINALS and follow not in _NO_ORDER:
        # On the first floor ..., on the second: that is no second window.
        floors = any(token.text in _FLOORS for token in tokens[:at])
        ends = follow in {"", ",", ".", ";", "and", "&"} and not floors
        named = (
            follow in _ORDER_TAILS
            or (ends and {before, _text(tokens, at - 2)} & {"for", "on"})
            or (
                before == "the"
                and (follow in {"a", "an", "with", "at", "measures", "had"} or at + 1 in taken)
            )
        )
        if named or tokens[at].kind == "ordinal":
            if word == "first" and follow in (",", "-") and before not in ("the", "for", "on"):
                return None
            skip = follow in {"one", "window", "opening", "set", "size", "unit", ":"}
            return Mark("number", str(ORDINALS[word]), at, at + 1 + skip)
    if word in _KINDS and follow in ("one", "window") and before == "the":
        return Mark("room", word, at, at + 2)
    if word == "another" or (word in _OTHER and before in ("the", "and", "my", "our", "an")):
        if word in ("other", "next", "remaining") and follow in {"day", "hand", "side", "measurements", "thing", "way", "sash", "week", "glass", "pane", "stuff", "numbers", "dimensions"}:  # fmt: skip
            return None
        if word == "another" and follow in {"thing", "day", "question", "way", "company", "shop"}:
            return None
        if word in ("next", "rest", "remaining", "others", "other") and follow not in _OTHER_TAILS:
            return None
        skip = follow in {"one", "window", "opening"}
        return Mark("other", f"other@{at}", at, at + 1 + skip)
    return None
