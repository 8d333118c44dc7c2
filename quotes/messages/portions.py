"""One size counted for several places: 2 for the kitchen, 1 for the bath; kitchen x2, bath x1."""

from __future__ import annotations

from quotes.messages.counted import Count
from quotes.messages.marks import DOORS, SIDES, Mark
from quotes.messages.pieces import Finish, Portion, Portions
from quotes.messages.scan import Token

# Between a count and its place, between a place and its count, and between one such pair and the next.
_FOR = {"for", "in", "at", "on", "to", "go", "goes", "is", "are", "x", "-", ":", "(", "the", "my", "our", "of", "windows", "window", "sets", "pairs", "liners", "units", "one"}  # fmt: skip
_COLON = {":", "x", "-", "=", "(", "needs", "gets", "qty"}
_AND = {",", ";", "and", "&", "+", "plus", "/", "|", "-", "*", ".", "then", "also", "another", "need", ")"}  # fmt: skip
_IN = {",", "in", "("}


def portions(
    tokens: list[Token], counts: list[Count], marks: list[Mark], finishes: list[Finish]
) -> list[Portions]:
    """All such lists. A room that is named elsewhere, too, has sizes of its own and parts nothing."""
    look = _Look(tokens, marks, finishes)
    forward = _runs(tokens, [pair for count in counts if (pair := look.after(count))])
    backward = _runs(tokens, [pair for count in counts if (pair := look.before(count))])
    found: list[Portions] = []
    for run in sorted([*forward, *backward], key=lambda run: (-len(run.each), run.first)):
        labels = {place.label for place in run.each}
        elsewhere = {m.label for m in marks if m.kind != "item" and m.first not in run.inside}
        apart = all(set(run.inside).isdisjoint(other.inside) for other in found)
        if apart and len(labels) == len(run.each) and not labels & elsewhere:
            found.append(run)
    return sorted(found, key=lambda run: run.first)


class _Look:
    def __init__(self, tokens: list[Token], marks: list[Mark], finishes: list[Finish]) -> None:
        self.tokens = tokens
        self.starts = {m.first: m for m in marks if m.kind in ("room", "number")}
        self.ends = {m.last: m for m in self.starts.values()}
        self.finishes = {finish.first: finish for finish in finishes}

    def after(self, count: Count) -> Portion | None:
        """2 for the kitchen, 3 for the front, 4 for flat 12."""
        at = count.last
        while at not in self.starts and at < len(self.tokens) and self.tokens[at].text in _FOR:
            at += 1
        mark = self.starts.get(at)
        if mark and self.tokens[at].text not in DOORS:
            return self._finished(Portion(count, mark.label, None, count.first, mark.last))
        said = {token.text for token in self.tokens[count.last : at]}
        named, number = [*(token.text for token in self.tokens[at : at + 2]), "", ""][:2]
        if not said & {"for", "in", "on"}:
            return None
        if named in SIDES:
            return self._finished(Portion(count, named, None, count.first, self._whole(at)))
        if named in DOORS and number.isdecimal():
            return self._finished(Portion(count, f"{named} {number}", None, count.first, at + 2))
        return None

    def before(self, count: Count) -> Portion | None:
        """Kitchen x2, bath (1)."""
        at = count.first
        while at not in self.ends and at and self.tokens[at - 1].text in _COLON:
            at -= 1
        mark = self.ends.get(at)
        if mark is None:
            return None
        return self._finished(Portion(count, mark.label, None, mark.first, count.last))

    def _whole(self, side: int) -> int:
        """Where a side ends: the back of the house."""
        texts = [token.text for token in self.tokens[side + 1 : side + 4]]
        return side + (4 if texts[:2] == ["of", "the"] and len(texts) == 3 else 1)

    def _finished(self, place: Portion) -> Portion:
        at = place.last
        while at not in self.finishes and at < len(self.tokens) and self.tokens[at].text in _IN:
            at += 1
        place.finish = self.finishes.get(at)
        return place


def _runs(tokens: list[Token], pairs: list[Portion]) -> list[Portions]:
    """Pairs that nothing parts, two or more. A finish counts for its place where each has one."""
    runs: list[list[Portion]] = []
    for pair in pairs:
        before = runs[-1][-1] if runs else None
        coloured = before.finish.last if before and before.finish else 0
        if before and (
            _joined(tokens, before.last, pair.first)
            or (pair.finish and coloured and _joined(tokens, coloured, pair.first))
        ):
            runs[-1].append(pair)
        else:
            runs.append([pair])
    found = [Portions(run) for run in runs if len(run) > 1]
    for run in found:
        own = all(place.finish for place in run.each)
        for place in run.each:
            place.last = place.finish.last if own and place.finish else place.last
            place.finish = place.finish if own else None
    return found


def _joined(tokens: list[Token], last: int, first: int) -> bool:
    between = tokens[last:first]
    return last <= first and all(t.kind == "line" or t.text in _AND for t in between)
