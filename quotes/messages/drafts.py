"""From pieces to windows: which piece speaks of which window, and what holds when they disagree."""

from __future__ import annotations

from quotes.messages.ahead import block, own_windows
from quotes.messages.amounts import Amount
from quotes.messages.attach import Join
from quotes.messages.counted import Count
from quotes.messages.draft import Draft, Placed
from quotes.messages.marks import Mark
from quotes.messages.pieces import Finish, Piece, Same
from quotes.messages.values import Values, could_count
from quotes.messages.words import Mention, Vocabulary


class Assembly:
    """Takes the pieces in their order; `drafts` are the windows, `unsure` the stretches in doubt."""

    def __init__(
        self, words: Vocabulary, values: Values, turns: dict[int, tuple[Amount, int]]
    ) -> None:
        self.words, self.values, self.turns = words, values, turns
        self.drafts = [Draft()]
        self.current = self.drafts[0]
        self.unsure: list[tuple[int, int]] = []
        self.shared_values: dict[str, list[Placed]] = {}
        self.shared_either: list[Placed] = []
        self.shared_finishes: list[Finish] = []
        self.shared_counts: list[Count] = []
        self.total: Count | None = None
        self.where: dict[int, tuple[Draft, tuple[str, ...], str]] = {}
        self.glass = {k.measure.code for k in words.measures if k.is_glass}

    def take(self, said: list[Piece]) -> None:
        listed = own_windows(said)
        for at, piece in enumerate(said):
            blocks = piece.fresh in ("line", "gap")
            ahead = block(said, at) if blocks else set()
            draft = self._window(piece, id(piece) in listed, ahead)
            if piece.item and piece.item.label and id(piece) in listed:
                draft.labels.add(f"item {piece.item.label}")
            self._fill(draft, piece)

    def _window(self, piece: Piece, listed: bool, ahead: set[str]) -> Draft:
        """The window a piece speaks of: a new one, the current one, or one named before."""
        firm = [mark for mark in piece.firm if mark.kind != "item"]
        labels = {mark.label for mark in firm}
        says = bool(piece.joins or piece.sames or piece.counts or piece.finishes)
        if piece.shared and not (labels or piece.counts):
            return self.current
        if labels:
            return self._labelled(labels, piece, says)
        if piece.item and listed:
            return self._begin({f"item {piece.item.label}" if piece.item.label else ""} - {""})
        own = [join for join in piece.joins if join.amount.first < piece.shared_at]
        if self.current.waits and piece.counts and piece.finishes and not own:
            return self._begin(set())
        heads = piece.counts and not piece.joins and self.current.counts and piece.fresh == "gap"
        if heads and len(ahead) > 1 and self.current.has(ahead, self.glass):
            return self._begin(set())  # liners x 2, and their sizes below
        if self.current.empty or not piece.joins:
            return self.current
        if any(join.amount.first in self.turns for join in piece.joins):
            return self.current
        overlap = self.current.has(piece.codes, self.glass)
        counted = bool(piece.counts and self.current.counts and not self.current.counted_first)
        if (piece.fresh == "again" or counted) and overlap:
            return self._begin(set())
        if piece.counts and overlap and piece.counts[0].first < piece.joins[0].amount.first:
            return self._begin(set())
        own_words = bool(self.current.counts or self.current.finishes)
        alone = len(ahead) == 1 and own_words and bool(piece.counts or piece.finishes)
        if overlap and piece.fresh in ("line", "gap") and alone:
            return self._begin(set())
        whole = set(self.current.values) | (self.glass if self.current.either else set())
        if overlap and piece.fresh in ("line", "gap") and len(whole) > 1 and ahead == whole:
            return self._begin(set())
        repeated = {code for code in ahead if self.current.has({code}, self.glass)}
        many = {frozenset({c}) if c not in self.glass else frozenset(self.glass) for c in ahead}
        if overlap and len(many) >= 2 and len(repeated) >= 2 and piece.line != self.current.line:
            return self._begin(set())
        return self.current

    def _labelled(self, labels: set[str], piece: Piece, says: bool) -> Draft:
        for draft in reversed(self.drafts):
            if labels & draft.labels and not any(label.startswith("other@") for label in labels):
                known = draft
                again = draft is not self.current and known.has(piece.codes, self.glass)
                if again and not any(join.amount.first in self.turns for join in piece.joins):
                    break
                known.labels |= labels
                self.current = known
                return known
        told = self._in_its_order(piece)
        if told:
            self.current = told
            return told
        if not says and not any(mark.firm for mark in piece.marks):
            return self.current
        if piece.refers and not (
            piece.joins or piece.sames or self.current.empty or self.current.labels
        ):
            self.current.labels |= labels
            return self.current
        loose = not self.current.labels and self.current.empty
        if loose:
            self.drop_portions(self.current)
        weak = not any(mark.firm for mark in piece.marks) and not self.current.labels
        if loose or (weak and not self.current.has(piece.codes, self.glass)):
            if loose and self.current.counts:
                self._keep_total()
            self.current.labels |= labels
            return self.current
        return self._begin(labels)

    def _in_its_order(self, piece: Piece) -> Draft | None:
        """12 lb for the first, 14 for the second: of windows without names, told one after the other."""
        numbers = [mark.label for mark in piece.marks if mark.kind == "number"]
        sized = [draft for draft in self.drafts if not draft.empty]
        if len(numbers) != 1 or not numbers[0].isdecimal() or any(d.labels for d in sized):
            return None
        at = int(numbers[0]) - 1
        if len(sized) < 2 or not 0 <= at < len(sized) or not piece.joins:
            return None
        return None if sized[at].has(piece.codes, self.glass) else sized[at]

    def _keep_total(self) -> None:
        """A count before the first window that is named: how many there are in all."""
        self.total = self.current.counts[-1]
        self.current.counts = []

    def _begin(self, labels: set[str]) -> Draft:
        spare = self.current.empty and not self.current.waits
        if spare and self.current is self.drafts[-1] and not self.current.labels:
            if self.current.counts:
                self._keep_total()
            self.shared_finishes += self.current.finishes
            self.drop_portions(self.current)
            self.drafts.pop()
        self.current = Draft(labels)
        self.drafts.append(self.current)
        return self.current

    def _fill(self, draft: Draft, piece: Piece) -> None:
        if draft.empty and draft.counts and piece.counts and (piece.joins or piece.finishes):
            self._keep_total()
        begins = draft.empty and draft is self.drafts[0]
        for same in piece.sames:
            if not same.codes:
                self._copy_window(draft, same)
        for join in piece.joins:
            self._place(draft, join, piece.shared_at < join.amount.first)
        for same in piece.sames:
            if same.codes:
                self._copy_measure(draft, same)
        for count in piece.counts:
            if count.doubt:
                self.unsure.append((count.start, count.end))
            elif count.overall and (
                len(piece.counts) > 1
                or not (piece.joins or piece.marks or draft.empty)
                or any(other is not draft and not other.empty for other in self.drafts)
            ):
                # 8 windows total: 5 with ..., 3 with ...; kitchen ..., bath ..., total 4
                self.total = count
            elif count.every and piece.joins == []:
                self.shared_counts.append(count)
            else:
                draft.counts = [] if count.corrects else draft.counts
                before = any(m.kind == "number" and count.last <= m.first for m in piece.marks)
                draft.counted_first = before or (
                    draft.empty and not (draft.labels or piece.finishes)
                )
                draft.counts.append(count)
                follow = [mark.first for mark in piece.marks if mark.kind == "room"]
                follow += [join.amount.first for join in piece.joins] if follow else []
                draft.room_follows = begins and bool(follow) and count.last <= min(follow)
        for portions in piece.portions:
            self.drop_portions(draft)
            draft.portions, draft.portions_line = portions, piece.line
        late = not (piece.joins or piece.marks) and not draft.finishes
        spread = late and len([d for d in self.drafts if not d.empty]) > 1 and not any(
            d.finishes for d in self.drafts
        )  # fmt: skip
        if piece.finishes and draft.finish_copied:
            draft.finishes, draft.finish_copied = [], False
        for finish in piece.finishes:
            shared = spread or piece.trails or piece.shared_at < finish.first
            (self.shared_finishes if shared else draft.finishes).append(finish)
        if piece.joins:
            draft.line = piece.line

    def drop_portions(self, draft: Draft) -> None:
        """How many go where is in doubt where it is not sure of which size."""
        if draft.portions:
            self.unsure.append((draft.portions.start, draft.portions.end))
            draft.portions = None

    def _copy_window(self, draft: Draft, same: Same) -> None:
        known = (d for d in reversed(self.drafts) if d is not draft and not d.empty)
        named = same.source if same.source and same.source.kind != "other" else None
        source = _meant(named, self.drafts, draft) if named else next(known, None)
        if source is None:
            if same.source or not draft.empty:
                self.unsure.append((same.start, same.end))
            return
        for code, placed in source.values.items():
            draft.values.setdefault(code, []).extend(
                Placed(p.value, p.amount, same.start, same.end, True) for p in placed
            )
        if source.either and not draft.either:
            draft.either = [
                Placed(p.value, p.amount, same.start, same.end, True) for p in source.either
            ]
        if not draft.finishes:
            draft.finishes = list(source.finishes)
            draft.finish_copied = True

    def _copy_measure(self, draft: Draft, same: Same) -> None:
        """The lower is the same: the value of the other sash's measure."""
        missing = [code for code in same.codes if code not in draft.values]
        sources = [self.words.twin(code) for code in missing]
        for code, source in zip(missing, sources, strict=True):
            placed = draft.values.get(source or "") or draft.either
            if placed:
                copy = Placed(placed[-1].value, placed[-1].amount, same.start, same.end)
                draft.values[code] = [copy]
                if placed is draft.either and source:
                    draft.values[source] = draft.either
                    draft.either = []
                return
        if missing:
            self.unsure.append((same.start, same.end))

    def _place(self, draft: Draft, join: Join, shared: bool) -> None:
        amount = join.amount
        if amount.gone:
            if join.mentions:
                self.where[amount.first] = (draft, *_target(join.mentions))
            return
        corrected, _ = self.turns.get(amount.first, (None, 0))
        codes, sense = _target(join.mentions)
        if corrected is not None and not codes and corrected.first in self.where:
            draft, codes, sense = self.where[corrected.first]
        span = _span(amount, join.mentions)
        read = {code: self.values.of(amount, code, not _bare(join.mentions)) for code in codes}
        values = {code: value for code, value in read.items() if value is not None}
        if not codes or amount.doubt or join.doubtful or len(values) < len(read):
            if corrected is not None:
                self._doubt(corrected)
            again = corrected is not None and not codes and draft.holds(amount)
            doubtful = amount.doubt or join.doubtful or bool(codes)
            meant = self.values.could_be(amount) or could_count(amount)
            if doubtful or (meant and not again):
                self.unsure.append((amount.start, amount.end))
            if amount.doubt and codes:
                self.where[amount.first] = (draft, codes, sense)
            return
        self.where[amount.first] = (draft, codes, sense)
        if corrected is not None:
            self._drop(draft, codes, sense)
        holder = self.shared_values if shared and not corrected else draft.values
        if sense == "either":
            self._drop_copies(draft, codes)
            held = self.shared_either if shared and not corrected else draft.either
            held.append(Placed(values[codes[0]], amount, *span))
            return
        for code in codes:
            placed = Placed(values[code], amount, *span)
            kept = [p for p in holder.get(code, []) if not p.copied]
            holder[code] = [*kept, placed]

    def _doubt(self, amount: Amount) -> None:
        """Take back an amount whose correction could not be read."""
        draft, codes, _ = self.where.get(amount.first, (self.current, (), ""))
        for code in codes:
            if any(p.amount is amount for p in draft.values.get(code, [])):
                self.unsure.append((amount.start, amount.end))
                del draft.values[code]
        draft.either = [p for p in draft.either if p.amount is not amount]

    def _drop_copies(self, draft: Draft, codes: tuple[str, ...]) -> None:
        for code in codes:
            if any(p.copied for p in draft.values.get(code, [])):
                del draft.values[code]
        draft.either = [p for p in draft.either if not p.copied]

    def _drop(self, draft: Draft, codes: tuple[str, ...], sense: str) -> None:
        """Take back what a correction replaces."""
        if sense == "either":
            draft.either.clear()
            return
        for code in codes:
            draft.values.pop(code, None)
        if set(codes) & self.glass and draft.either and sense == "each":
            draft.either.clear()


def _meant(named: Mark, drafts: list[Draft], but: Draft) -> Draft | None:
    """The last window before that was called so: 1 is the first of a list too, and the den may be
    den left if there is no other den."""
    labels = {named.label, f"item {named.label}"}
    called = (d for d in reversed(drafts) if not labels.isdisjoint(d.labels))
    exact = next((d for d in called if d is not but and not d.empty), None)
    if exact or named.kind != "room":
        return exact
    words = set(named.label.split())
    near = [
        d for d in drafts
        if d is not but and any(words <= set(label.split()) for label in d.labels) and not d.empty
    ]  # fmt: skip
    return near[0] if len(near) == 1 else None


def _bare(mentions: list[Mention]) -> bool:
    return any(mention.bare for mention in mentions)


def _target(mentions: list[Mention]) -> tuple[tuple[str, ...], str]:
    """All measures that an amount was said of, and in what sense."""
    if any(mention.sense == "other" for mention in mentions):
        return (), "other"
    codes = tuple(dict.fromkeys(code for mention in mentions for code in mention.codes))
    if len(mentions) == 1:
        return codes, mentions[0].sense
    return codes, "each" if codes else "other"


def _span(amount: Amount, mentions: list[Mention]) -> tuple[int, int]:
    """The stretch from name to number, or only the number if they stand far apart."""
    start = min([amount.start, *(mention.start for mention in mentions)])
    end = max([amount.end, *(mention.end for mention in mentions)])
    return (start, end) if end - start <= 100 else (amount.start, amount.end)
