"""The reading of one message, from its text to its openings."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from itertools import pairwise

from quotes.messages import doubts
from quotes.messages.amounts import Amount, amounts
from quotes.messages.contact import Contact, contact_of, phones
from quotes.messages.counted import Count
from quotes.messages.counts import sort
from quotes.messages.drafts import Assembly
from quotes.messages.finishes import finishes
from quotes.messages.grid import grids
from quotes.messages.headed import headed, with_headed
from quotes.messages.languages import in_english
from quotes.messages.marks import CODED, ROOMS, Mark, marks
from quotes.messages.measured import measured, plain_to
from quotes.messages.mentions import mentions
from quotes.messages.numbered import Numbered, begin_lines, numbered, out_of_line, with_numbered
from quotes.messages.pieces import Event, Piece, first_of, pieces
from quotes.messages.portions import portions
from quotes.messages.quoted import agreed, earlier, quoted, still_holds
from quotes.messages.relations import relations
from quotes.messages.rows import Rows
from quotes.messages.sames import sames
from quotes.messages.sashes import name_sashes
from quotes.messages.scan import Mask, Token, blank, listed, masks, plain, series, tokens
from quotes.messages.settle import ReadOpening, Settling, Total
from quotes.messages.stretch import Stretch
from quotes.messages.turns import mark_taken_back, turns
from quotes.messages.values import Values, tiny
from quotes.messages.words import Mention, Vocabulary, vocabulary
from sizing.table import SizeTable

LONGEST = 20_000


@dataclass(frozen=True)
class Message:
    """What was read. `unsure` are words of the message; `split` are words on how the sashes divide.

    `total` is there if fewer or more windows were read than the message speaks of.
    """

    openings: tuple[ReadOpening, ...]
    contact: Contact
    unsure: tuple[Stretch, ...] = ()
    split: tuple[Stretch, ...] = ()
    total: Total | None = None


_SPLIT = re.compile(r"(?i)\b(?:cottage|oriel|equal split|equal sash|even split|50/50|60/40|40/60|55/45|45/55|70/30|30/70|65/35|35/65)\b")  # fmt: skip


def read_message(text: str, table: SizeTable, region: str = "US") -> Message:
    """What a message says of openings of one family, and who wrote it. Never raises.

    `region` is where a telephone number without its country is dialled. Of a text over 20,000
    characters the first 20,000 are read.
    """
    text = text[:LONGEST]
    reading = _Reading(text, table, region)
    reading.read()
    reading.take_earlier()
    return Message(
        tuple(reading.openings),
        reading.contact,
        tuple(reading.unsure_words()),
        tuple(dict.fromkeys(Stretch.of(text, *m.span()) for m in _SPLIT.finditer(reading.plain))),
        reading.total,
    )


class _Reading:
    """The state of one reading: each step leaves what the next one needs."""

    def __init__(self, text: str, table: SizeTable, region: str) -> None:
        self.text, self.table, self.region = text, table, region
        self.plain = plain(text)
        self.words: Vocabulary = vocabulary(table)
        self.unsure: list[tuple[int, int]] = []
        self.openings: list[ReadOpening] = []
        self.total: Total | None = None
        self.beside = ReadOpening({}, {})
        names = frozenset(self.words.names) | listed("ug lg tg bg lp u l t b o g")
        self.old = old = quoted(self.plain)
        shown = blank(self.plain, old)
        found = masks(shown, names | {"qty", "no", "win"})
        numbers = phones(blank(shown, found), region, frozenset(self.words.names))
        emails = [mask for mask in found if mask.kind == "email"]
        spelled = [
            word for names_ in self.words.finishes.values() for each in names_ for word in each
        ]
        self.places = frozenset(ROOMS | set(spelled))
        states = [mask for mask in found if mask.kind == "state"]
        others = [*(mask for mask in found if mask not in states), *(m for m, _ in numbers)]
        self.contact, called = contact_of(
            text, blank(blank(shown, states, "#"), others, "@"), emails, numbers,
            frozenset(self.words.names) | self.places,
        )  # fmt: skip
        rows = series(blank(shown, [mask for mask in found if mask.kind != "model"]))
        self.unsure += [(mask.start, mask.end) for mask in rows]
        self.hidden = [*old, *found, *rows, *(mask for mask, _ in numbers), *called]
        self.grids = grids(blank(self.plain, self.hidden, "."), self.words)
        self.hidden += [Mask("table", grid.start, grid.end) for grid in self.grids]

    def read(self) -> None:
        found = in_english(tokens(self.plain, self.hidden), frozenset(self.words.names))
        sized = amounts(found, self.places)
        self.values = Values(self.table, found, sized)
        sentence = doubts.breaks(self.plain, found)
        marked, doubtful = self._windows_named(found, sized)
        for mark in out_of_line(marked):
            (number,) = (t for t in found[mark.first : mark.last] if t.text == mark.label)
            self.unsure.append((number.start, number.end))
        in_marks = {at for mark in marked for at in range(mark.first, mark.last)}
        sized = [a for a in sized if a.first not in in_marks]
        taken = {at for a in sized for at in range(a.first, a.last)}
        # The first floor is where a window is, and no distance from the floor.
        talk = [m for m in mentions(found, self.words, taken) if m.codes or m.first not in in_marks]
        name_sashes(found, talk, sentence, self.words)
        related = relations(found, talk, sized, sentence)
        self.unsure += [(each.start, each.end) for each in related]
        worked_out = {at for each in related for at in each.tokens}
        sized = [amount for amount in sized if amount.first not in worked_out]
        doubts.mark_doubts(found, sized, sentence)
        mark_taken_back(found, sized, sentence)
        self.taken_back = [amount for amount in sized if amount.gone]
        ranges = doubts.alternatives(found, sized)
        sorted_ = sort(found, sized, talk, self.places, tiny(self.table))
        for count in sorted_.counts:
            count.doubt |= count.first in doubtful
        turned = turns(found, sized, sentence)
        measures = self._across(found, doubts.once(found, sorted_.measures), talk)
        measures = self._turned_counts(measures, sorted_.counts, turned)
        self._ranged(ranges, measures)
        again = sames(found, talk, marked, taken, self.places)
        again = [same for same in again if same.first not in worked_out]
        meant = {at for same in again for at in same.named}
        measures = [amount for amount in measures if amount.first not in meant]
        counts = [count for count in sorted_.counts if count.first not in meant]
        spoken = {at for same in again for at in same.at}
        spoken |= _counted_things(found, talk, counts, measures)
        talk = [m for m in talk if m.first not in spoken and m.first not in self.sideways]
        joins = measured(self.words, found, sentence, measures, talk, turned)
        named = finishes(found, sentence, self.words.finishes)
        spread = portions(found, counts, marked, named)
        within = {at for each in spread for at in each.inside}
        self.unsure += [(each.start, each.end) for each in spread if each.named]
        self.unsure += sorted_.vague
        sources = {(same.source.first, same.source.last) for same in again if same.source}
        events: list[Event] = [
            *joins,
            *again,
            *(m for m in marked if (m.first, m.last) not in sources),
            *counts,
            *named,
        ]
        events = [event for event in events if first_of(event) not in within]
        events += spread
        said = pieces(found, sentence, events)
        self._two_named(found, said)
        self._assemble(said, turned)

    def _windows_named(
        self, found: list[Token], sized: list[Amount]
    ) -> tuple[list[Mark], set[int]]:
        """The names of windows, also as headings and as a list's bare numbers; where such a number may be a count."""
        named = {at for a in sized if a.kind != "integer" for at in range(a.first, a.last)}
        marked = marks(found, named)
        for mark in marked:
            if mark.label.startswith(CODED):
                start, end = map(int, mark.label[1:].split(":"))
                mark.label = self.text[start:end]
        taken = {at for a in sized for at in range(a.first, a.last)}
        talk = mentions(found, self.words, taken - {m.first for m in marked})
        marked = with_headed(marked, headed(found, talk, taken))
        listed_ = self._numbered(found, sized, talk, named)
        return with_numbered(marked, listed_.marks), listed_.doubtful

    def _assemble(self, said: list[Piece], turned: dict[int, tuple[Amount, int]]) -> None:
        """Openings of what stands in tables and of what was said, in the order in which it was."""
        assembly = Assembly(self.words, self.values, turned)
        rows = Rows(self.words, self.values, self.places)
        for grid in self.grids:
            rows.take(grid)
        assembly.drafts += rows.drafts
        assembly.take(said)
        settling = Settling(self.text, self.table, self.words)
        self.openings = settling.openings(assembly)
        self.total, self.beside = settling.total, settling.beside
        self.unsure += [*rows.unsure, *assembly.unsure, *settling.unsure]

    def _two_named(self, found: list[Token], said: list[Piece]) -> None:
        """Kitchen and bath both have ...: a window in each, or one between them? It is not said how many."""
        for piece in said:
            for mark in piece.marks:
                if " and " in mark.label and mark.last > mark.first + 1:
                    self.unsure.append((found[mark.first].start, found[mark.last - 1].end))
            for one, two in pairwise(() if piece.counts else piece.marks):
                between = {token.text for token in found[one.last : two.first]}
                joined = between & {"and", "&"} and between <= {"and", "&", "the"}
                if joined and one.kind == two.kind and two.label != "dining":
                    self.unsure.append((found[one.first].start, found[two.last - 1].end))

    def _numbered(
        self, found: list[Token], sized: list[Amount], talk: list[Mention], named: set[int]
    ) -> Numbered:
        """The bare numbers of a list; what they would count otherwise is looked at first."""
        starts = begin_lines(found, named)
        if len(starts) < 2:
            return Numbered()
        counts = sort(found, sized, talk, self.places, tiny(self.table)).counts
        return numbered(found, starts, sized, counts)

    def take_earlier(self) -> None:
        """What an earlier mail said of the one window, where the writer lets it stand, or
        takes back one value of it and so lets the rest stand."""
        text = earlier(self.plain, self.old)
        now = self.openings[0] if self.openings else self.beside
        said = {(now.quantity_words.start, now.quantity_words.end)}
        if text is None or len(self.openings) > 1 or set(self.unsure) - said:
            return
        reading = _Reading(text.ljust(len(self.text)), self.table, self.region)
        reading.text = self.text
        reading.read()
        if len(reading.openings) != 1:
            self._leaves(now, reading.openings)
            return
        known = reading.openings[0]
        holds = still_holds(self.plain, self.old) or self._takes_back(known)
        if not (holds or (not self.openings and agreed(self.plain, self.old))):
            self._leaves(now, reading.openings)
            return
        before, here = reading.contact, self.contact
        if before.name == here.name and before.email and not here.email:
            words = tuple(word for word in before.words if word[0] == "email")
            self.contact = replace(here, email=before.email, words=here.words + words)
        self.unsure = []
        merged = replace(
            now,
            measures={**known.measures, **now.measures},
            words={**known.words, **now.words},
        )
        if not now.quantity_words:
            merged = replace(merged, quantity=known.quantity, quantity_words=known.quantity_words)
        if not now.finish_words:
            merged = replace(merged, finish=known.finish, finish_words=known.finish_words)
        self.openings = [merged]

    def _leaves(self, now: ReadOpening, known: list[ReadOpening]) -> None:
        """One value and nothing else is written above a mail that tells it with others: they were left, so they are
        named. Whether the rest holds, or this is another window, only the writer knows."""
        if len(now.measures) != 1 or now.quantity_words or now.finish_words:
            return
        for one in known:
            rest = [words for code, words in one.words.items() if code not in now.measures]
            if rest and now.measures.keys() < one.measures.keys():
                self.unsure.append((min(w.start for w in rest), max(w.end for w in rest)))

    def _takes_back(self, known: ReadOpening) -> bool:
        """Whether a value that is denied now is the one an earlier mail gave for a measure named now."""
        codes = set(known.measures) & {code for o in self.openings for code in o.measures}
        return any(
            self.values.of(amount, code) == known.measures[code]
            for amount in self.taken_back
            for code in codes
        )

    def _across(
        self, found: list[Token], measures: list[Amount], talk: list[Mention]
    ) -> list[Amount]:
        """Amounts less widths; a size across whose sides are not named is in doubt whole."""
        gone: set[int] = set()
        pairs: set[int] = set()
        for pair in doubts.across(found, measures, tiny(self.table)):
            if pair.sure:
                gone.add(pair.first.first)
                self.unsure.append((pair.first.start, pair.first.end))
            else:
                gone |= {pair.first.first, pair.second.first}
                pairs.add(min(pair.first.first, pair.second.first))
                self.unsure.append((pair.first.start, pair.second.end))
        for amount in measures if "width" not in self.words.names else ():
            if amount.first not in gone and amount.kind != "weight" and doubts.wide(found, amount):
                gone.add(amount.first)
                self.unsure.append((amount.start, amount.end))
        self.sideways = {
            m.first for m in talk for a in measures
            if m.sense == "other" and "!" in m.parts and a.first in gone and 0 <= m.first - a.last < 3
        }  # fmt: skip
        # 47 7/8 high, glass 26 x 20 1/4: the name is the pair's, and no height before it is of the glass.
        self.sideways |= {
            m.first for m in talk if m.last in pairs and found[m.first - 1].text in {",", ";", "."}
        }
        return [amount for amount in measures if amount.first not in gone]

    def _turned_counts(
        self,
        measures: list[Amount],
        counts: list[Count],
        turned: dict[int, tuple[Amount, int]],
    ) -> list[Amount]:
        """A whole number that corrects a count is a count: two, no, three."""
        counted = {count.first for count in counts}
        kept: list[Amount] = []
        for amount in measures:
            before, _ = turned.get(amount.first, (None, 0))
            small = 0 < amount.whole <= tiny(self.table) and bool(counts)
            counts_too = before is not None and before.first in counted and 0 < amount.whole < 100
            if amount.kind == "integer" and (counts_too or (small and before)):
                counts.append(Count(
                    amount.whole, amount.first, amount.last, amount.start, amount.end, amount.doubt, True
                ))  # fmt: skip
                continue
            kept.append(amount)
        for count in counts:
            count.corrects |= count.first in turned
        return kept

    def _ranged(self, ranges: list[tuple[Amount, Amount]], measures: list[Amount]) -> None:
        """Ranges are named whole, so that the clerk sees both ends."""
        ids = {id(amount) for amount in measures}
        for one, two in ranges:
            if id(one) in ids and id(two) in ids:
                self.unsure.append((one.start, two.end))

    def unsure_words(self) -> list[Stretch]:
        """The doubtful stretches in their order, one inside another named once."""
        found: list[tuple[int, int]] = []
        for start, end in sorted(set(self.unsure), key=lambda span: (span[0], -span[1])):
            if not found or end > found[-1][1]:
                found.append((start, end))
        return [Stretch.of(self.text, start, end) for start, end in found]


def _counted_things(
    found: list[Token], talk: list[Mention], counts: list[Count], measures: list[Amount]
) -> set[int]:
    """4 liners 22 3/8 glass: what is counted names no measure where the number after it has a name of its own."""
    counted = {at for count in counts for at in range(count.first + 1, count.last + 1)}
    counted |= {at + 1 for at in counted if at < len(found) and found[at].text == "of"}
    starts, named = {a.first: a for a in measures}, {m.first for m in talk}
    return {
        m.first
        for m in talk
        if m.weak and m.first in counted and m.last in starts
        and plain_to(found, starts[m.last], named)
    }  # fmt: skip
