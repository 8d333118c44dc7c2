"""A message cut into pieces, each of one window: what was said between one mark and the next."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from quotes.messages.attach import Join
from quotes.messages.counted import Count
from quotes.messages.marks import MANY_OF, Mark
from quotes.messages.scan import Token

NEVER = 1 << 30


@dataclass
class Finish:
    """A finish that was named; `doubt` if it was hedged or offered with another."""

    name: str
    first: int
    last: int
    start: int
    end: int
    doubt: bool = False
    corrects: bool = False


@dataclass
class Same:
    """A reference to what was said before: of one measure (`code`), or of a whole window, the one of
    `source` or the one before. `at` are the mentions (by their first token) that it fills."""

    first: int
    start: int
    end: int
    codes: tuple[str, ...] = ()
    source: Mark | None = None
    at: tuple[int, ...] = ()

    @property
    def named(self) -> range:
        """The tokens that name the window it refers to: as 1, as the den."""
        return range(self.source.first, self.source.last) if self.source else range(0)

    @property
    def whole(self) -> bool:
        """Whether it is of a whole window, and which one is known."""
        return not self.codes and not (self.source and self.source.kind == "unknown")


@dataclass
class Portion:
    """How many of the size go where, and in which finish if each place has its own."""

    count: Count
    label: str
    finish: Finish | None
    first: int
    last: int


@dataclass
class Portions:
    """Two places or more, in their order. They begin no window: the one whose size was said is wanted in each."""

    each: list[Portion]

    @property
    def first(self) -> int:
        return self.each[0].first

    @property
    def last(self) -> int:
        return self.each[-1].last

    @property
    def start(self) -> int:
        return self.each[0].count.start

    @property
    def end(self) -> int:
        return self.each[-1].count.end

    @property
    def number(self) -> int:
        return sum(place.count.number for place in self.each)

    @property
    def inside(self) -> range:
        return range(self.first, self.last)

    @property
    def named(self) -> bool:
        """Whether the numbers may be names as well, as each is of a room of which a house has several: bedroom 2, bath 1."""
        return all(p.label in MANY_OF and p.first + 1 == p.count.first for p in self.each)


@dataclass
class Piece:
    """Things said together. `fresh` is line or gap if it begins there, again if
    measures come again after a count or a finish; `shared` if said of all windows."""

    marks: list[Mark] = field(default_factory=list)
    joins: list[Join] = field(default_factory=list)
    counts: list[Count] = field(default_factory=list)
    finishes: list[Finish] = field(default_factory=list)
    sames: list[Same] = field(default_factory=list)
    portions: list[Portions] = field(default_factory=list)
    fresh: str = ""
    # The token from which on it speaks of every window; `trails` if that ends it (slate for all).
    shared_at: int = NEVER
    trails: bool = False
    # Whether it speaks of what was said just before (these are for the den).
    refers: bool = False
    line: int = 0

    @property
    def shared(self) -> bool:
        return self.shared_at < NEVER

    @property
    def codes(self) -> set[str]:
        return {
            code for join in self.joins for mention in join.mentions for code in mention.codes
            if mention.sense in ("one", "each", "either")
        }  # fmt: skip

    @property
    def first(self) -> int:
        events: list[Event] = [
            *self.marks,
            *self.joins,
            *self.counts,
            *self.finishes,
            *self.sames,
            *self.portions,
        ]
        return min(first_of(event) for event in events)

    @property
    def item(self) -> Mark | None:
        return next((mark for mark in self.marks if mark.kind == "item"), None)

    @property
    def firm(self) -> list[Mark]:
        return [mark for mark in self.marks if mark.firm or (self.joins and mark.kind == "room")]


Event = Mark | Join | Count | Finish | Same | Portions
_ALL = {"all", "every", "everything", "everywhere", "throughout", "everyone"}
_OF = {"for", "in", "on", "of", "to"}
_REFERS = {"these", "this", "that", "it's", "that's", "they're", "those", "they", "for"}
_TRAILS = {"throughout", "everywhere"}
_ALIKE = {"the", "alike", "same", "identical"}
_ALL_NOUNS = {
    "windows",
    "openings",
    "in",
    "of",
    "units",
    "have",
    "has",
    "window",
    "want",
    "need",
    "get",
    "rooms",
    "are",
}


def pieces(tokens: list[Token], sentence: list[int], events: Iterable[Event]) -> list[Piece]:
    """The pieces of a message in its order."""
    by_sentence: dict[int, list[Event]] = {}
    for event in sorted(events, key=first_of):
        by_sentence.setdefault(sentence[first_of(event)], []).append(event)
    starts: dict[int, int] = {}
    for at, number in enumerate(sentence):
        starts.setdefault(number, at)
    ends = {number: at + 1 for at, number in enumerate(sentence)}
    found: list[Piece] = []
    line = 0
    lines = [0] * len(tokens)
    for at, token in enumerate(tokens):
        line += token.kind in ("line", "gap")
        lines[at] = line
    for number, said in by_sentence.items():
        first = starts[number]
        fresh = (
            tokens[first].kind if tokens[first].kind in ("line", "gap") else "line" * (first == 0)
        )
        new = _cut(said)
        new[0].fresh = fresh
        begins = [first, *(piece.first for piece in new[1:]), ends[number]]
        for piece, begin, end in zip(new, begins[:-1], begins[1:], strict=True):
            piece.shared_at = _of_all([t.text for t in tokens[begin:end]], begin)
            if begin < piece.shared_at < NEVER:
                piece.trails = (
                    tokens[piece.shared_at - 1].text in _OF
                    or tokens[piece.shared_at].text in _TRAILS
                )
            piece.line = lines[first]
            opens = [t.text for t in tokens[begin : begin + 3] if t.kind not in ("line", "gap")][:2]
            piece.refers = opens[:1] == ["("] or bool(set(opens[:1]) & _REFERS)
        found += new
    return found


def first_of(event: Event) -> int:
    return event.amount.first if isinstance(event, Join) else event.first


def _of_all(words: list[str], begin: int) -> int:
    """The token from which on words speak of every window; NEVER if they don't."""
    for at, word in enumerate(words):
        follow = words[at + 1 : at + 3]
        if (word in _ALL and not set(follow[:1]) & _ALIKE) or (
            word == "all" and "windows" in follow
        ):
            return begin + at
        if word in ("both", "each") and set(follow[:1]) & _ALL_NOUNS - {"are"}:
            return begin + at
    return NEVER


def _cut(said: list[Event]) -> list[Piece]:
    """One sentence's pieces: a mark begins one, unless marks come after what they name."""
    marks = [at for at, event in enumerate(said) if isinstance(event, Mark)]
    joins = [at for at, event in enumerate(said) if isinstance(event, Join)]
    named = joins or [at for at, event in enumerate(said) if isinstance(event, Finish)]
    trailing = bool(marks and named) and named[0] < marks[0] and named[-1] < marks[-1]
    last_finish = max(
        (at for at, event in enumerate(said) if isinstance(event, Finish)), default=-1
    )
    found = [Piece()]
    for at, event in enumerate(said):
        piece = found[-1]
        more = at <= last_finish
        if trailing:
            if isinstance(event, Join | Same if joins else Finish) and piece.marks:
                piece = Piece()
        elif (
            (
                isinstance(event, Mark)
                and (
                    piece.joins
                    or piece.sames
                    or _another(piece, event)
                    or (piece.finishes and more)
                    or any(c.corrects for c in piece.counts)
                )
            )
            or (
                isinstance(event, Count) and event.leads and piece.joins and _leads(said, at, piece)
            )
            or (isinstance(event, Count) and event.leads and piece.counts and not piece.joins)
        ):
            piece = Piece()
        elif isinstance(event, Join) and _again(piece, said, at):
            piece = Piece(fresh="again")
        if piece is not found[-1]:
            found.append(piece)
        _put(piece, event)
    return found


def _another(piece: Piece, mark: Mark) -> bool:
    """Whether what is between a window's number and this one was of the first: nothing of it could be read."""
    before = piece.marks[-1] if piece.marks else mark
    alike = before.kind == mark.kind == "number" and before.label != mark.label
    return alike and mark.first - before.last > 2


def _leads(said: list[Event], at: int, piece: Piece) -> bool:
    """Whether a count begins another window: what follows it was already said of this one."""
    following: set[str] = set()
    for event in said[at + 1 :]:
        if isinstance(event, Count | Mark):
            break
        if isinstance(event, Join):
            following |= {code for mention in event.mentions for code in mention.codes}
    return bool(following & piece.codes)


def _again(piece: Piece, said: list[Event], at: int) -> bool:
    """Whether after a count or a finish the same measures come again: another window begins.

    Where each window has one measure, each must have its own count or finish as well.
    """
    before, join = said[at - 1] if at else None, said[at]
    if not isinstance(before, Count | Finish) or not isinstance(join, Join):
        return False
    codes = {code for mention in join.mentions for code in mention.codes}
    if not codes & piece.codes:
        return False
    follow = said[at + 1] if at + 1 < len(said) else None
    return len(piece.joins) > 1 or isinstance(follow, Count | Finish)


def _put(piece: Piece, event: Event) -> None:
    if isinstance(event, Mark):
        piece.marks.append(event)
    elif isinstance(event, Join):
        piece.joins.append(event)
    elif isinstance(event, Count):
        piece.counts.append(event)
    elif isinstance(event, Finish):
        piece.finishes.append(event)
    elif isinstance(event, Same):
        piece.sames.append(event)
    else:
        piece.portions.append(event)
