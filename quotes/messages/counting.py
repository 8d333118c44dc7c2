"""Whether a bare whole number counts windows, and how far the words reach that say so."""

from __future__ import annotations

from quotes.messages.around import Around
from quotes.messages.around_words import (
    ADJECTIVES,
    ALIKE,
    ASKED,
    HOUSE,
    IN_ALL,
    KINDS,
    MANY,
    NOUNS,
    ONE,
    PAID,
    PLACES,
    QTY,
    SAID_ANEW,
    STARTS,
    THEM,
    VERBS,
)
from quotes.messages.counted import PAIRS, Count
from quotes.messages.marks import DOORS, SIDES


class Counting(Around):
    """A bare whole number as the count of windows that it may be."""

    def count(self) -> Count | None:
        """What it counts, if that is windows."""
        if not 0 < self.number < 1000 or self.over() or self._is_a_name():
            return None
        first, last = self.amount.first, self.amount.last
        ahead = self._noun(last) or self._leads(first, last)
        if (self.text(last), self.text(last + 1)) == ("instead", "of") and self.number < 13:
            ahead = last  # 5 instead of 4
        if self.text(last - 1) == "dozen":
            ahead = ahead or last  # nothing else is told by the dozen
        end = ahead or self._times(first, last) or self._asked(first, last)
        end = end or self._parens(first, last) or self._alone(first, last)
        if not end:
            return None
        number, dozen = self.number, self.starts.get(last)
        if dozen and self.text(last) == "dozen":
            number, end = number * 12, max(end, last + 1)
        leads = bool(ahead) or self.text(last) in ("x", "@", "of")
        return Count(
            number, first, end, self.amount.start, self.tokens[end - 1].end,
            self.amount.doubt or "than" in (self.text(end), self.text(end + 1)),
            every="each" in {self.text(at) for at in range(last, end + 2)},
            overall=self._in_all(first, end),
            stock=self.text(first - 1) in ("are", "have", "has", "got", "was", "were"),
            leads=leads and self.text(first - 1) not in QTY,
        )  # fmt: skip

    def _is_a_name(self) -> bool:
        """Whether it names one of many, or is of a pair, a house or a price."""
        first, last = self.amount.first, self.amount.last
        before, after = self.text(first - 1), self.text(last)
        return (
            after in PAIRS
            or after in HOUSE
            # we paid 78 each
            or bool({before, self.text(first - 2)} & PAID and after in ("each", "ea"))
            # first two ash, the third slate
            or before in ("first", "last")
            or self._in_a_row()
            # one of the 9 windows
            or (self.text(first - 2) == "of" and before in ("the", "my", "our", "these"))
            # plot 7 lounge; it came out in two pieces
            or (before in PLACES and after not in NOUNS)
            or (before == "in" and after in ("pieces", "parts"))
        )

    def _in_a_row(self) -> bool:
        """Whether it names windows, with others: units 101, 102, 103: windows 1-4: windows 1 through 4."""
        first, last = self.amount.first, self.amount.last
        row = {",", "-", "&", "and", "through", "thru", "to"}
        return (
            self.text(first - 1) in MANY
            and self.text(last) in row
            and last + 1 in self.starts
            and self.text(self.starts[last + 1].last) in row | {":"}
        )

    def _in_all(self, first: int, end: int) -> bool:
        """7 windows altogether, 7 in total, total: 7 windows."""
        if self.text(end - 1) in IN_ALL or self.text(end) in IN_ALL - {"all"}:
            return True
        before = first - 1 if self.text(first - 1) not in {":", "=", "of", "is"} else first - 2
        # 8 windows total: 5 of them are the first of it.
        other = self.text(before - 1) in NOUNS and before - 2 in self.starts
        return (self.text(before) == "total" and not other) or (
            self.text(end) == "in" and self.text(end + 1) in IN_ALL
        )

    def _times(self, first: int, last: int) -> int:
        """x2, 2x, 2 x glass; a measure on both sides makes it a size across, unless it is tiny."""
        if self.text(last) == "of" and self.text(last + 1) in KINDS and self.number < 100:
            return last  # 4 of size A
        if self.text(first - 1) == "x":
            sized = first - 1 in self.ends
            if self.text(last) in ("wide", "high", "tall", "w", "h", "deep") or self.number > 200:
                return 0
            if not sized or self.number <= self.tiny:
                return last
        if self.text(last) == "x" and last + 1 not in self.starts and not self.after_measure(first):
            return last + 1
        # 5x 20 1/4: nobody parts a size across so.
        parted = self.text(last) == "x" and [t.glued for t in self.tokens[last : last + 2]] == [True, False]  # fmt: skip
        if self.text(last) == "@" and last + 1 in self.named and not self.after_measure(first):
            return last + 1  # 10 @ top glass 25 1/2
        few = self.number <= max(self.tiny, 12 if parted else 0)
        if self.text(last) in ("x", "@", "of") and few and last + 1 in self.starts:
            return last + 1
        return 0

    def _noun(self, last: int) -> int:
        """2 windows, 3 of these, 4 kitchen windows, 2 each."""
        if [self.text(last + i) for i in range(3)] in (
            ["of", "the", "windows"],
            ["of", "the", "openings"],
        ):
            return last + 3
        if self.text(last) == "of" and self.text(last + 1) in THEM | {"the"}:
            return last + 2 if self.text(last + 1) in THEM else 0
        if self.text(last) == "like" and self.text(last + 1) in THEM:
            return last + 2
        at = last
        if self.text(at) == "dozen":
            at += 1
        at = self.after_panes(at)
        while at < last + 5:
            text = self.text(at)
            if text in PAIRS:
                return 0
            if text == "no" and self.text(at + 1) == ".":
                return at + 1
            if text in NOUNS and not (at == last and self.after_measure(self.amount.first)):
                if text in ("each", "ea", "off") and self.number > 200:
                    return 0
                if text in ONE and self.number != 1:
                    return 0
                return at + 1
            if text not in ADJECTIVES and text not in self.places:
                break
            at += 1
        return 0

    def _asked(self, first: int, last: int) -> int:
        """qty 3, need two, windows: 2."""
        at = first - 1
        while self.text(at) in {":", "=", "-", "#", "?", "of", "for", "just", "only", "me", "about"} and at > first - 4:  # fmt: skip
            at -= 1
        if 0 < at < len(self.tokens) and self.tokens[at].kind == "line" and at == first - 1:
            at -= 1  # the number stands on the line below its name
            if self.text(at - 1) or self.text(first + 1):
                return 0
        if self.text(at) == "total" and at - 1 not in self.named and last not in self.starts:
            return last  # total 4; the opening total 41 is none
        if self.text(at) == "number" and at < first - 1 and self.text(at - 1) in ("", ",", ";"):
            return last
        if self.text(at) == "do" and self.text(at - 1) == "to":
            return last
        if self.text(at) == "n" and self.text(at + 1) in (":", "="):
            return last
        before = first - (self.text(first - 1) == ":")
        said = (self.text(before - 2), self.text(before - 1))
        if said in SAID_ANEW and self.number <= 12 and last not in self.starts:
            return (
                last  # go ahead with two; all the same, but make it 2 in ash; same as last time: 3
            )
        if (self.text(last), self.text(last + 1)) == ("this", "time") and self.number <= 200:
            return last + 2
        if self.text(at) not in ASKED or self.number > 200:
            return 0
        firm = self.text(at)[:2] in ("qt", "qn", "qu") and self.text(at) not in ("quote", "quoting")
        if not firm and (
            last in self.named or last in self.starts or self.text(last) in ("x", "/")
        ):
            return 0
        return last

    def _leads(self, first: int, last: int) -> int:
        """Three are ..., two with ..., 2 in ash, two kitchen ..., ash 2."""
        if self.text(last) in self.places and self.number <= 50 and not self.after_measure(first):
            return last
        listed_ = (
            self.text(first - 1) in {"/", ",", "-", "|", ":"}
            and self.text(first - 2) in self.places
        )
        ends = (
            self.text(last) in ("", ".", ",", ";", "/")
            or self.text(first - 1) == self.text(last) == "-"
        )
        if listed_ and ends and self.number <= max(12, self.tiny):
            return last
        if self.text(first - 1) in self.places and self.number <= max(12, self.tiny):
            after = self.text(last)
            goes_on = after in ("and", "&") and self.text(last + 1) in self.places
            if after in ("", ",", ".", ";", ")") or goes_on:
                return last if not self.after_measure(first) else 0
        if self.text(first - 1) not in STARTS | self.places or self.after_measure(first):
            return 0
        if self.number == 1 and self.text(first - 1) in ("the", "other") and self.amount.spelled:
            return 0
        if self.text(last) in ("please", "pls", "plz", "thanks", "needed"):
            return last
        if self.text(first - 1) in ("other", "remaining") and self.text(last) in (":", ","):
            return last
        if self.text(last) == "more":
            last += 1
        if self.text(last) in VERBS and (self.amount.spelled or self.number <= 50):
            at = last + 1
            while self.text(at) in {
                "a",
                "an",
                "the",
                "all",
                "both",
                "my",
                "our",
                "of",
                "for",
                "in",
            }:
                at += 1
            if "for" in (self.text(last), self.text(last + 1)) and self.text(at) in SIDES | DOORS:
                return last  # 2 for the back, 3 for unit 14
            if at in self.starts or self.text(at) in self.places or self.text(at) in ALIKE:
                return last
            told = self.amount.spelled or self.text(last) == "with"
            small = self.number < 13 if told else self.number <= self.tiny
            if small and at in self.named:
                return last
        return 0

    def _parens(self, first: int, last: int) -> int:
        alone = self.text(first - 1) == "(" and self.text(last) == ")"
        apart = first - 2 not in self.ends or self.text(first - 2) in self.places
        return last + 1 if alone and self.number <= 99 and apart else 0

    def _alone(self, first: int, last: int) -> int:
        """A small number that has a line to itself."""
        begins = first > 0 and self.tokens[first - 1].kind in ("line", "gap")
        near = {self.text(at) for at in range(first - 5, first - 1)} & {"windows", "liners"}
        titled = self.text(first - 1) == ":" and near and not self.after_measure(first)
        if titled and self.number < 100 and self.text(last) in ("", "."):
            return last  # windows in kitchen: two.
        ends = last == len(self.tokens) or self.tokens[last].kind in ("line", "gap")
        begins |= self.text(first - 1) in ("-", "/", "|", ";") and not self.tokens[first].glued
        trails = self.text(first - 1) in (",", ";") and not self.named & set(
            range(first - 3, first)
        )
        ends |= self.text(last) == "." and last + 1 == len(self.tokens)
        if trails and ends and self.number <= (12 if self.amount.spelled else min(12, self.tiny)):
            return last
        return last if begins and ends and self.number <= max(12, self.tiny) else 0
