"""From windows as they took shape to openings: one value a measure, one count, one finish, or a doubt."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from decimal import Decimal

from quotes.messages.counted import Count
from quotes.messages.draft import Draft
from quotes.messages.drafts import Assembly
from quotes.messages.pieces import Finish
from quotes.messages.stretch import NOWHERE, Stretch
from quotes.messages.words import Vocabulary
from sizing.table import SizeTable

_PARTED = re.compile(r"[,;:.!?\n](?!\d)|\b(?:and|but|then)\b")


@dataclass(frozen=True)
class ReadOpening:
    """One window: measures in the family's unit, count, finish, each with the words it came from.

    `label` is what the message calls the window; `words` has the measures' codes as keys.
    """

    measures: dict[str, Decimal]
    words: dict[str, Stretch]
    quantity: int = 1
    finish: str | None = None
    label: str = ""
    quantity_words: Stretch = NOWHERE
    finish_words: Stretch = NOWHERE


@dataclass(frozen=True)
class Total:
    """A number of windows that the message speaks of, and the other number that was read of it."""

    said: int
    read: int


class Settling:
    """Makes the openings of one message; `unsure` are the stretches that contradict each other.

    `total` is there if fewer or more windows were read than the message speaks of.
    """

    def __init__(self, text: str, table: SizeTable, words: Vocabulary) -> None:
        self.text, self.table, self.words = text, table, words
        self.unsure: list[tuple[int, int]] = []
        self.total: Total | None = None
        # How many and in which finish, where nothing is measured: it may be of what an earlier mail holds.
        self.beside = ReadOpening({}, {})

    def openings(self, assembly: Assembly) -> list[ReadOpening]:
        """The windows that hold something, with what was said of all of them."""
        drafts = [d for d in assembly.drafts if not d.empty]
        parted = [d for d in assembly.drafts if d.portions]
        shared = not drafts and bool(assembly.shared_values or assembly.shared_either)
        for draft in parted:
            alone = len(drafts) < 2 or draft.portions_line == draft.line
            sized = not draft.empty or (shared and len(parted) == 1)
            if not sized or not (alone or len(parted) == len(drafts)):
                assembly.drop_portions(draft)
        if assembly.shared_values or assembly.shared_either:
            drafts += [d for d in assembly.drafts if d.waits]
        if not drafts and (assembly.shared_values or assembly.shared_either):
            spare = assembly.drafts[-1] if assembly.drafts else Draft()
            drafts = [spare]
        alike = [*_alike(assembly.drafts, drafts), *drafts]
        drafts = [d for d in assembly.drafts if any(d is one for one in alike)]
        early = [f for d in assembly.drafts if d.empty and d not in drafts for f in d.finishes]
        loose = [c for d in assembly.drafts if d.empty and d not in drafts for c in d.counts]
        if not drafts:
            named = [f for d in assembly.drafts for f in d.finishes]
            self.unsure += [(f.start, f.end) for f in named if f.doubt]
            counts = [
                *loose,
                *assembly.shared_counts,
                *([assembly.total] if assembly.total else []),
            ]
            self.beside = self._opening(
                Draft(counts=counts, finishes=[*named, *assembly.shared_finishes])
            )
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
            own = drafts[0].counts if len(drafts) == 1 and not assembly.total.stock else []
            if any(count.number != assembly.total.number for count in own):
                # add one more (the order was for three): one of them, and which is not said
                self.unsure += [(count.start, count.end) for count in [*own, *loose]]
                drafts[0].counts = loose = []
        elif len(drafts) > 1 and drafts[0].counted_first and len(drafts[0].counts) == 1:
            # A count before all sizes: the first window's own, or how many there are in all?
            loose.append(drafts[0].counts[0])
            if drafts[0].counts[0].number == len(drafts) + sum(_number(d) - 1 for d in drafts[1:]):
                drafts[0].counts = []
        elif len(drafts) > 1 and drafts[0].room_follows and len(drafts[0].counts) == 1:
            loose += self._in_all(drafts)
        apart = sum(bool(draft.labels) for draft in assembly.drafts) > 1
        if len(drafts) == 1 and not apart:
            # What is there beside what is wanted of one window: we have three, two need it.
            drafts[0].counts = drafts[0].counts or loose[-1:]
            loose = []
        for draft in drafts:
            if draft.portions and draft.counts:
                # Three windows: 2 for the kitchen, 1 for the bath.
                self._hold_against(draft.counts[-1], draft.portions.number)
        read = [self._opening(one) for draft in drafts for one in _shared_out(draft)]
        read = [opening for opening in read if opening.measures]
        if loose and read:
            self._hold_against(loose[-1], sum(opening.quantity for opening in read))
            # 2 for the kitchen, 1 for the bath, 1 for the bath: of which size is not sure.
            self.unsure += [(count.start, count.end) for count in loose[:-1]]
        return read

    def _in_all(self, drafts: list[Draft]) -> list[Count]:
        """Two windows: kitchen ..., bath ...: as many rooms follow, each once, so the count is of all of them. It
        is not sure where no colon says so: two in the kitchen and one in the bath begin alike."""
        (named,) = drafts[0].counts
        parted = self.text[named.end :].lstrip(" ")[:1]
        if parted not in tuple(":,;-\n") or any(draft.counts for draft in drafts[1:]):
            return []  # two windows in the kitchen
        if named.number == len(drafts):
            drafts[0].counts = []
            if parted != ":":
                self.unsure.append((named.start, named.end))
        return [named]

    def _hold_against(self, named: Count, read: int) -> None:
        """How many windows are named, and how many were read: one may have been left out."""
        if named.number != read:
            self.total = Total(named.number, read)
            self.unsure.append((named.start, named.end))

    def _opening(self, draft: Draft) -> ReadOpening:
        self._settle_either(draft)
        measures: dict[str, Decimal] = {}
        words: dict[str, Stretch] = {}
        for measure in self.table.measures:
            placed = draft.values.get(measure.code, [])
            if len({p.value for p in placed}) > 1:
                self.unsure += [(p.amount.start, p.amount.end) for p in placed]
            elif placed:
                measures[measure.code] = placed[0].value
                words[measure.code] = Stretch.of(self.text, placed[0].start, placed[0].end)
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
        elif said != taken or self._of_the_other(draft, codes):
            self.unsure += [(p.amount.start, p.amount.end) for p in draft.either]

    def _of_the_other(self, draft: Draft, codes: list[str]) -> bool:
        """Glass 17 upper 17, in one breath: the number said of neither sash, though it is the same, may be the other
        one's. After a comma it is taken to be told again."""
        if all(code in draft.values for code in codes):
            return False
        told = [p.amount for code in codes for p in draft.values.get(code, ())]
        pairs = [sorted((p.amount, o), key=lambda a: a.start) for p in draft.either for o in told]
        return any(
            one.first != two.first and not _PARTED.search(self.text, one.end, two.start)
            for one, two in pairs
        )

    def _finish_of(self, draft: Draft) -> tuple[str | None, Stretch]:
        said: list[Finish] = []
        for finish in draft.finishes:
            said = [finish] if finish.corrects else [*said, finish]
        if not said:
            return None, NOWHERE
        if len({f.name for f in said}) > 1 or any(f.doubt for f in said):
            self.unsure += [(f.start, f.end) for f in said]
            return None, NOWHERE
        return said[0].name, Stretch.of(self.text, said[0].start, said[0].end)

    def _quantity(self, draft: Draft) -> tuple[int, Stretch]:
        wanted = [count for count in draft.counts if not count.stock] or draft.counts
        numbers = {count.number for count in wanted}
        if len(numbers) > 1:
            self.unsure += [(count.start, count.end) for count in draft.counts]
            return 1, NOWHERE
        if not draft.counts:
            return 1, NOWHERE
        count = wanted[0]
        return count.number, Stretch.of(self.text, count.start, count.end)


def _alike(all_: list[Draft], sized: list[Draft]) -> list[Draft]:
    """One slate, two ash, and then the sizes, or after them: two ash, the other one slate. All of them are sized as
    the one that the sizes were read for."""
    known = sized[0] if len(sized) == 1 else Draft()
    if not (known.counts and known.finishes) or known.labels:
        return []
    alike = [d for d in all_ if d.waits and all(label.startswith("other@") for label in d.labels)]
    for draft in alike:
        draft.values, draft.either = dict(known.values), list(known.either)
    return alike


def _number(draft: Draft) -> int:
    return draft.counts[0].number if draft.counts else 1


def _shared_out(draft: Draft) -> list[Draft]:
    """One window's sizes wanted in several places or finishes with a count each (2 in ash, 1 in slate)."""
    if draft.portions:
        return [
            replace(
                draft,
                labels={portion.label},
                counts=[portion.count],
                finishes=[portion.finish] if portion.finish else draft.finishes,
                portions=None,
            )
            for portion in draft.portions.each
        ]
    said: list[Count | Finish] = [*draft.counts, *draft.finishes]
    said.sort(key=lambda event: event.start)
    first, second = said[::2], said[1::2]
    kinds = [{type(event) for event in half} for half in (first, second)]
    paired = len(first) == len(second) > 1 and all(len(kind) == 1 for kind in kinds)
    sure = not any(event.doubt or event.corrects for event in said)
    if not (paired and kinds[0] != kinds[1] and sure):
        return [draft]
    if len({finish.name for finish in draft.finishes}) < len(draft.finishes):
        return [draft]
    pairs = zip(draft.counts, draft.finishes, strict=True)
    return [replace(draft, counts=[count], finishes=[finish]) for count, finish in pairs]
