"""The rows of a table inside a message as windows of their own."""

from __future__ import annotations

from quotes.messages.counted import Count
from quotes.messages.draft import Draft, Placed
from quotes.messages.finishes import finishes
from quotes.messages.grid import Cell, Grid, Heading, amount_in
from quotes.messages.scan import tokens
from quotes.messages.values import Values
from quotes.messages.words import Vocabulary


class Rows:
    """`drafts` are the windows of the tables, `unsure` the cells that could not be read."""

    def __init__(self, words: Vocabulary, values: Values, places: frozenset[str]) -> None:
        self.words, self.values, self.places = words, values, places
        self.drafts: list[Draft] = []
        self.unsure: list[tuple[int, int]] = []

    def take(self, grid: Grid) -> None:
        for row in grid.rows:
            draft = Draft()
            for heading, cell in row.cells:
                self._cell(draft, heading, cell)
            if not draft.empty or draft.counts:
                self.drafts.append(draft)

    def _cell(self, draft: Draft, heading: Heading, cell: Cell) -> None:
        end = cell.start + len(cell.text)
        amount = amount_in(cell, self.places)
        if heading.mention and any(c.isdecimal() for c in cell.text):
            codes = heading.mention.codes
            if heading.mention.sense == "either":
                codes = codes[:1]
            for code in codes:
                value = self.values.of(amount, code) if amount else None
                if amount is None or value is None:
                    self.unsure.append((cell.start, end))
                else:
                    draft.values.setdefault(code, []).append(Placed(value, amount, cell.start, end))
            if not codes:
                self.unsure.append((cell.start, end))
        elif heading.kind == "quantity" and amount and amount.kind == "integer" and amount.whole:
            draft.counts.append(Count(amount.whole, 0, 0, cell.start, end))
        else:
            self._words(draft, heading, cell)

    def _words(self, draft: Draft, heading: Heading, cell: Cell) -> None:
        found = tokens(cell.text, [])
        for finish in finishes(found, [0] * len(found), self.words.finishes):
            finish.start += cell.start
            finish.end += cell.start
            draft.finishes.append(finish)
        if heading.kind == "other" and cell.text:
            draft.labels.add(cell.text.lower())
