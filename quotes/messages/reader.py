"""The reading of one message, from its text to its openings."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import pairwise

from quotes.messages import doubts
from quotes.messages.amounts import Amount, amounts
from quotes.messages.attach import Join, join
from quotes.messages.contact import Contact, contact_of, phones
from quotes.messages.counts import Count, sort
from quotes.messages.drafts import Assembly, Draft, Placed
from quotes.messages.finishes import finishes
from quotes.messages.grid import Grid, amount_in, grids
from quotes.messages.marks import ROOMS, marks
from quotes.messages.pieces import Finish, pieces
from quotes.messages.quoted import earlier, quoted
from quotes.messages.sames import sames
from quotes.messages.scan import Mask, Token, listed, masks, plain, tokens
from quotes.messages.values import Values, tiny
from quotes.messages.words import Mention, Vocabulary, mentions, vocabulary
from sizing.table import SizeTable

_PANES = {"pane", "panes", "lite", "lites"}
_LITTLE = {"little", "small", "individual", "tiny"}
_MANY = listed("one two three four six eight nine twelve 1 2 3 4 6 8 9 12")
_SEEN = {"visible", "exposed", "showing", "daylight", "viewable"}
LONGEST = 20_000


@dataclass(frozen=True)
class ReadOpening:
    """One window: measures in the family's unit, count, finish, each with the words it came from.

    `label` is what the message calls the window; `words` has the measures' codes as keys.
    """

    measures: dict[str, Decimal]
    words: dict[str, str]
    quantity: int = 1
    finish: str | None = None
    label: str = ""
    quantity_words: str = ""
    finish_words: str = ""


@dataclass(frozen=True)
class Message:
    """What was read. `unsure` are words of the message; `split` are words on how the sashes divide."""

    openings: tuple[ReadOpening, ...]
    contact: Contact
    unsure: tuple[str, ...] = ()
    split: tuple[str, ...] = ()


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
        tuple(dict.fromkeys(m.group() for m in _SPLIT.finditer(reading.plain))),
    )


class _Reading:
    """The state of one reading: each step leaves what the next one needs."""

    def __init__(self, text: str, table: SizeTable, region: str) -> None:
        self.text, self.table = text, table
        self.plain = plain(text)
        self.words: Vocabulary = vocabulary(table)
        self.unsure: list[tuple[int, int]] = []
        self.openings: list[ReadOpening] = []
        names = frozenset(self.words.names) | {
            "ug",
            "lg",
            "tg",
            "bg",
            "lp",
            "u",
            "l",
            "t",
            "b",
            "o",
            "g",
        }
        self.old = old = quoted(self.plain)
        shown = _blank(self.plain, old)
        found = masks(shown, names | {"qty", "no", "win"})
        numbers = phones(_blank(shown, found), region, frozenset(self.words.names))
        emails = [mask for mask in found if mask.kind == "email"]
        spelled = [
            word for names_ in self.words.finishes.values() for each in names_ for word in each
        ]
        self.places = frozenset(ROOMS | set(spelled))
        self.contact, called = contact_of(
            text, _blank(shown, [*found, *(m for m, _ in numbers)], "@"), emails, numbers,
            frozenset(self.words.names) | self.places,
        )  # fmt: skip
        self.hidden = [*old, *found, *(mask for mask, _ in numbers), *called]
        self.grids = grids(_blank(self.plain, self.hidden, "."), self.words)
        self.hidden += [Mask("table", grid.start, grid.end) for grid in self.grids]

    def read(self) -> None:
        found = tokens(self.plain, self.hidden)
        sized = amounts(found, self.places)
        self.values = Values(self.table, found, sized)
        sentence = doubts.breaks(self.plain, found)
        named = {at for a in sized if a.kind != "integer" for at in range(a.first, a.last)}
        marked = marks(found, named)
        in_marks = {at for mark in marked for at in range(mark.first, mark.last)}
        sized = [a for a in sized if a.first not in in_marks]
        taken = {at for a in sized for at in range(a.first, a.last)}
        talk = mentions(found, self.words, taken)
        _lift_sashes(found, talk, sentence, self.words)
        doubts.mark_doubts(found, sized, sentence)
        ranges = doubts.alternatives(found, sized)
        sorted_ = sort(found, sized, talk, self.places, tiny(self.table))
        turned = doubts.turns(found, sized)
        measures = self._across(found, sorted_.measures, talk)
        measures = self._turned_counts(measures, sorted_.counts, turned, talk)
        self._ranged(ranges, measures)
        again = sames(found, talk, marked, taken)
        spoken = {code for same in again for code in same.at}
        talk = [m for m in talk if m.first not in spoken and m.first not in self.sideways]
        joins = self._join(found, sentence, measures, talk, turned)
        self.unsure += sorted_.vague
        sources = [same.source for same in again]
        events = [*joins, *sorted_.counts, *again, *(m for m in marked if m not in sources)]
        events += finishes(found, sentence, self.words.finishes)
        assembly = Assembly(self.words, self.values, turned)
        for grid in self.grids:
            self._grid(assembly, grid)
        assembly.take(pieces(found, sentence, events))
        self._finish(assembly)

    def take_earlier(self) -> None:
        """What an earlier mail said of the one window, where the writer lets it stand."""
        before = earlier(self.plain, self.old)
        if before is None or len(self.openings) > 1:
            return
        reading = _Reading(before.ljust(len(self.text)), self.table, "US")
        reading.text = self.text
        reading.read()
        if len(reading.openings) != 1:
            return
        known = reading.openings[0]
        now = self.openings[0] if self.openings else ReadOpening({}, {})
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

    def _across(
        self, found: list[Token], measures: list[Amount], talk: list[Mention]
    ) -> list[Amount]:
        """Amounts less widths; a size across whose sides are not named is in doubt whole."""
        gone: set[int] = set()
        for pair in doubts.across(found, measures, tiny(self.table)):
            if pair.sure:
                gone.add(pair.first.first)
                self.unsure.append((pair.first.start, pair.first.end))
            else:
                gone |= {pair.first.first, pair.second.first}
                self.unsure.append((pair.first.start, pair.second.end))
        for amount in measures:
            if amount.first not in gone and amount.kind != "weight" and doubts.wide(found, amount):
                if not self.words.names.get("width"):
                    gone.add(amount.first)
                    self.unsure.append((amount.start, amount.end))
        self.sideways = {
            m.first for m in talk for a in measures
            if m.sense == "other" and "!" in m.parts and a.first in gone and 0 <= m.first - a.last < 3
        }  # fmt: skip
        return [amount for amount in measures if amount.first not in gone]

    def _turned_counts(
        self,
        measures: list[Amount],
        counts: list[Count],
        turned: dict[int, tuple[Amount, int]],
        talk: list[Mention],
    ) -> list[Amount]:
        """A whole number that corrects a count is a count: two, no, three."""
        counted = {count.first for count in counts}
        kept: list[Amount] = []
        for amount in measures:
            before, _ = turned.get(amount.first, (None, 0))
            small = amount.kind == "integer" and amount.whole <= tiny(self.table) and counts
            if before and (before.first in counted or small) and amount.kind == "integer":
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

    def _join(
        self, found: list[Token], sentence: list[int], measures: list[Amount],
        talk: list[Mention], turned: dict[int, tuple[Amount, int]],
    ) -> list[Join]:  # fmt: skip
        """Amounts joined to what they were said of; bare corrections stay for what they correct."""
        for first in doubts.denied(found, talk, sentence):
            for mention in talk:
                if mention.first == first:
                    mention.sense, mention.codes = "other", ()
        starts = {m.first for m in talk}
        edges = [(m.first, m.last) for m in talk]
        bare: list[Amount] = []
        rest: list[Amount] = []
        second = {id(two) for one, two in pairwise(measures)
                  if two.doubt and one.doubt and not _between(edges, one.last, two.first)}  # fmt: skip
        for amount in measures:
            before, cue = turned.get(amount.first, (None, 0))
            lone = before is not None and not _between(edges, cue, amount.first)
            follows = any(
                at in starts for at in range(amount.last, min(amount.last + 3, len(found)))
            )
            if (
                lone and not (follows and before.gone is False and _plain_to(found, amount, starts))
            ) or (id(amount) in second and not follows):
                bare.append(amount)
            else:
                rest.append(amount)
        joins = join(found, rest, talk, sentence)
        joins += [Join(amount) for amount in bare]
        _second_readings(found, joins)
        _both_sashes(sentence, joins, talk)
        joins = [self._weighed(j, found, sentence, talk) for j in joins]
        return sorted(joins, key=lambda j: j.amount.first)

    def _weighed(
        self, said: Join, found: list[Token], sentence: list[int], talk: list[Mention]
    ) -> Join:
        """A weight needs no name where the family has one weight; of two sashes or a box it is in doubt."""
        weights = self.words.weight
        on_weight = any(set(m.codes) & set(weights) for m in said.mentions)
        if said.amount.kind != "weight" and not on_weight:
            return said
        here = sentence[min(said.amount.first, len(sentence) - 1)]
        around = {
            found[at].text
            for at in range(max(0, said.amount.first - 12), min(len(found), said.amount.last + 5))
            if sentence[at] == here
        }
        if around & {"together", "combined", "total", "box", "package", "carton", "shipment", "glass", "window", "frame"} and not (around & {"sash", "sashes"} and not around & {"together", "combined", "total"}):  # fmt: skip
            said.doubtful = not on_weight or bool(
                around & {"together", "combined", "total", "box", "package"}
            )
        if said.amount.kind == "weight" and len(weights) == 1:
            said.doubtful = bool(around & {"together", "combined", "total", "box", "package"})
        if not on_weight and said.amount.kind == "weight" and len(weights) == 1:
            others = [m for m in said.mentions if m.sense == "other" and not m.bare]
            if not others:
                whole = Mention(
                    weights,
                    "one",
                    said.amount.first,
                    said.amount.last,
                    said.amount.start,
                    said.amount.end,
                )
                said.mentions = [whole]
        return said

    def _grid(self, assembly: Assembly, grid: Grid) -> None:
        """A table's rows as windows of their own."""
        for row in grid.rows:
            draft = Draft()
            for heading, cell in row.cells:
                self._cell(assembly, draft, heading, cell)
            if not draft.empty or draft.counts:
                assembly.drafts.append(draft)

    def _cell(self, assembly: Assembly, draft: Draft, heading, cell) -> None:
        amount = amount_in(cell, self.places)
        if (
            heading.kind in ("measure", "foreign")
            and cell.text
            and any(c.isdecimal() for c in cell.text)
        ):
            codes = heading.mention.codes if heading.kind == "measure" else ()
            if heading.mention.sense == "either":
                codes = codes[:1]
            value = [self.values.of(amount, code) for code in codes] if amount else [None]
            if not codes or None in value:
                self.unsure.append((cell.start, cell.start + len(cell.text)))
                return
            for code, v in zip(codes, value, strict=True):
                draft.values.setdefault(code, []).append(
                    Placed(v, amount, cell.start, cell.start + len(cell.text))
                )
        elif heading.kind == "quantity" and amount and amount.kind == "integer" and amount.whole:
            draft.counts.append(Count(amount.whole, 0, 0, cell.start, cell.start + len(cell.text)))
        else:
            inside = tokens(cell.text, [])
            for finish in finishes(inside, [0] * len(inside), self.words.finishes):
                finish.start += cell.start
                finish.end += cell.start
                draft.finishes.append(finish)
            if heading.kind == "other" and cell.text:
                draft.labels.add(cell.text.lower())

    def _finish(self, assembly: Assembly) -> None:
        """The windows that hold something, with what was said of all of them."""
        self.unsure += assembly.unsure
        drafts = [d for d in assembly.drafts if not d.empty]
        if assembly.shared_values or assembly.shared_either:
            drafts += [d for d in assembly.drafts if d.waits]
        if not drafts and (assembly.shared_values or assembly.shared_either):
            spare = assembly.drafts[-1] if assembly.drafts else Draft()
            drafts = [spare]
        early = [f for d in assembly.drafts if d.empty and d not in drafts for f in d.finishes]
        loose = [c for d in assembly.drafts if d.empty and d not in drafts for c in d.counts]
        if not drafts:
            named = [f for d in assembly.drafts for f in d.finishes]
            self.unsure += [(f.start, f.end) for f in named if f.doubt]
            self.unsure += [(c.start, c.end) for c in [*loose, *assembly.shared_counts]]
        for draft in drafts:
            for code, placed in assembly.shared_values.items():
                draft.values.setdefault(code, list(placed))
            if assembly.shared_either and not draft.either:
                draft.either = list(assembly.shared_either)
            draft.finishes = draft.finishes or assembly.shared_finishes or early
            draft.counts = draft.counts or assembly.shared_counts
        if assembly.total:
            loose.append(assembly.total)
        if len(drafts) == 1 and loose and not drafts[0].counts:
            drafts[0].counts = loose[-1:]
        elif loose and sum(_number(d) for d in drafts) != loose[-1].number and len(drafts) > 1:
            self.unsure.append((loose[-1].start, loose[-1].end))
        read = [self._opening(draft) for draft in drafts]
        self.openings = [opening for opening in read if opening.measures]

    def _opening(self, draft: Draft) -> ReadOpening:
        self._settle_either(draft)
        measures: dict[str, Decimal] = {}
        words: dict[str, str] = {}
        for measure in self.table.measures:
            placed = draft.values.get(measure.code, [])
            if len({p.value for p in placed}) > 1:
                self.unsure += [(p.amount.start, p.amount.end) for p in placed]
            elif placed:
                measures[measure.code] = placed[0].value
                words[measure.code] = self.text[placed[0].start : placed[0].end]
        finish, said = self._finish_of(draft)
        quantity, counted = self._quantity(draft)
        label = next(
            (label for label in sorted(draft.labels) if not label.startswith(("other@", "item "))),
            "",
        )
        return ReadOpening(measures, words, quantity, finish, label, counted, said)

    def _settle_either(self, draft: Draft) -> None:
        """A glass height of neither sash goes to either; two of one breath that agree go to both."""
        if not draft.either:
            return
        codes = [c for c in (self.words.glass("upper"), self.words.glass("lower")) if c]
        taken = {p.value for code in codes for p in draft.values.get(code, [])}
        said = {p.value for p in draft.either}
        if len(said) == 1 and not taken and codes:
            breath = [
                p
                for p in draft.either
                if p.start == draft.either[0].start or p.end == draft.either[0].end
            ]
            both = len({p.amount.first for p in breath}) == 2 and len(draft.either) == 2
            for code in codes if both else codes[:1]:
                draft.values[code] = draft.either[:1]
        elif said != taken:
            self.unsure += [(p.amount.start, p.amount.end) for p in draft.either]

    def _finish_of(self, draft: Draft) -> tuple[str | None, str]:
        said: list[Finish] = []
        for finish in draft.finishes:
            said = [finish] if finish.corrects else [*said, finish]
        if not said:
            return None, ""
        if len({f.name for f in said}) > 1 or any(f.doubt for f in said):
            self.unsure += [(f.start, f.end) for f in said]
            return None, ""
        return said[0].name, self.text[said[0].start : said[0].end]

    def _quantity(self, draft: Draft) -> tuple[int, str]:
        numbers = {count.number for count in draft.counts}
        if len(numbers) > 1:
            self.unsure += [(count.start, count.end) for count in draft.counts]
            return 1, ""
        if not draft.counts:
            return 1, ""
        count = draft.counts[0]
        return count.number, self.text[count.start : count.end]

    def unsure_words(self) -> list[str]:
        """The doubtful stretches in their order, one inside another named once."""
        found: list[tuple[int, int]] = []
        for start, end in sorted(set(self.unsure), key=lambda span: (span[0], -span[1])):
            if not found or end > found[-1][1]:
                found.append((start, end))
        return [self.text[start:end] for start, end in found]


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


def _both_sashes(sentence: list[int], joins: list[Join], talk: list[Mention]) -> None:
    """One glass height of neither sash, and "both" somewhere in its sentence: it is of both."""
    used = {id(mention) for said in joins for mention in said.mentions}
    both = {
        sentence[m.first]: m for m in talk if m.sense == "each" and m.bare and id(m) not in used
    }
    plain = [said for said in joins if [m.sense for m in said.mentions] == ["either"]]
    count = Counter(sentence[said.amount.first] for said in plain)
    for said in plain:
        here = sentence[said.amount.first]
        if here in both and count[here] == 1:
            end = max(both[here].end, said.mentions[0].end)
            said.mentions = [replace(said.mentions[0], sense="each", end=end)]


def _only_seen(found: list[Token], mention: Mention, sentence: list[int]) -> bool:
    """Whether only the part of the glass between the stops is spoken of."""
    near = range(max(0, mention.first - 2), min(len(found), mention.last + 6))
    return any(found[at].text in _SEEN and sentence[at] == sentence[mention.first] for at in near)


def _second_readings(found: list[Token], joins: list[Join]) -> None:
    """An amount with no name beside one that has one: what the writer read twice, or shared out."""
    ordered = sorted(joins, key=lambda said: said.amount.first)
    for one, two in pairwise(ordered):
        between = [t.text for t in found[one.amount.last : two.amount.first]]
        if (
            one.amount.gone
            or two.amount.gone
            or len(between) > 8
            or bool(one.mentions) == bool(two.mentions)
        ):
            continue
        if two.mentions:
            glass = two.mentions[0].sense in ("either", "each")
            two.doubtful |= glass and set(between) <= {"and", "&", "/", "+"} and bool(between)
            continue
        small, large = sorted((one.amount.value, two.amount.value))
        near = 0 < small < large <= small * 9 / 8
        stop = {".", "!", "?", ";", "not"} & set(between) or "\n" in "".join(between)
        if near and not stop and not doubts.turns(found, [one.amount, two.amount]):
            one.doubtful = True


def _number(draft: Draft) -> int:
    return draft.counts[0].number if draft.counts else 1


def _between(edges: list[tuple[int, int]], first: int, last: int) -> bool:
    return any(first <= start and end <= last for start, end in edges)


def _plain_to(found: list[Token], amount: Amount, starts: set[int]) -> bool:
    """Whether a name follows an amount with no stop between them."""
    for at in range(amount.last, min(amount.last + 3, len(found))):
        if at in starts:
            return True
        if found[at].text in (",", ".", ";", "!", "?", "-") or found[at].kind in ("line", "gap"):
            return False
    return False


def _lift_sashes(
    found: list[Token], talk: list[Mention], sentence: list[int], words: Vocabulary
) -> None:
    """ "Upper sash" means its glass where glass is being talked of; "glass in that sash" the last named."""
    last = -9
    named = heading = ""
    divided = _divided(found)
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


def _blank(text: str, hidden: list[Mask], filler: str = " ") -> str:
    """The text with the masked stretches blanked out; every offset stays."""
    pieces_: list[str] = []
    at = 0
    for mask in sorted(hidden, key=lambda mask: mask.start):
        if mask.end <= at:
            continue
        start = max(at, mask.start)
        pieces_ += [
            text[at:start],
            "".join(c if c == "\n" else filler for c in text[start : mask.end]),
        ]
        at = mask.end
    return "".join([*pieces_, text[at:]])
