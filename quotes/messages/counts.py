"""Whole numbers that count windows, and numbers that count or name something else."""

from __future__ import annotations

from quotes.messages.amounts import Amount
from quotes.messages.counted import PAIRS, Count, Sorted, counts_in_a_row, named_counts, one_in_all
from quotes.messages.marks import DOORS, SIDES
from quotes.messages.scan import Token, listed
from quotes.messages.words import Mention

_NOUNS = listed(
    "window windows wdw wdws wndw wndws win wins unit units set sets pc pcs piece pieces ea each off "
    "liner liners lengths strips balances kit kits opening openings order orders total needed required altogether identical parts"
)
_ADJECTIVES = listed(
    "of more such old new the these those same identical double hung - wood wooden vinyl sash single big "
    "small large matching different similar other front back rear replacement jamb track upstairs "
    "downstairs my our sets pairs pieces units full complete more additional"
)
_THEM = {"these", "those", "them", "this", "that", "em", "each"}
_ASKED = listed(
    "qty q qnty quantity quantities qauntity quanity quantitiy qyt qt quan count need needs needed want wants order ordering ordered get take send quote "
    "price pricing cost require requires times pcs pieces units windows liners sets many quoting makes add"
)
_QTY = {"q", "qty", "quantity", "x", "qnty", ":", "qt", "qauntity"}
_VERBS = {"are", "have", "with", "@", "at", "in", "for", "is", "has", "measure", "measures", "were"}
_ELSE = listed(
    "day days week weeks month months year years yr yrs hour hours hr hrs minute minutes min mins bedroom "
    "bedrooms bed floor floors story stories storey storeys kids people guys miles degrees percent panes "
    "pane sashes lites lite lights light glasses over bath baths car cars dogs screws holes coats doors "
    "times ago o'clock stops miles blocks rooms room photos pictures pics attachments screens storms "
    "adults time adults children feet' inches' calls emails years' weeks' tries attempts grandkids cats"
)
# A house has so many of them, or so many windows are for them: nobody knows.
_HOUSE = {"bedrooms", "bathrooms", "baths"}
_PAID = {"paid", "pay", "cost", "costs", "charged", "price", "was", "were", "$"}
_STARTS = {"", "but", ",", ";", ".", "!", "?", ":", "-", "and", "&", "(", "other", "the", "*", "plus", "so", "then", "still", "also", "now", "remaining", "|", "like", "need", "want", "have", "get", "order", "take", "for"}  # fmt: skip
_ALIKE = {"same", "identical", "alike"}
_ONE = {"opening", "unit", "window", "set", "liner"}
_MANY = {"windows", "units", "openings", "apartments", "apts", "rooms"}
_SAID_ANEW = {("ahead", "with"), ("make", "it"), ("make", "that"), ("last", "time")}
_KINDS = {"size", "type", "style", "window", "item", "kind"}
_PLACES = listed("plot flat unit apt apartment house room suite block level")
_IN_ALL = {"total", "altogether", "all", "overall"}
# No sash is divided into as many panes.
_MOST_PANES = 20


def sort(
    tokens: list[Token], amounts: list[Amount], mentions: list[Mention],
    places: frozenset[str], tiny: int,
) -> Sorted:  # fmt: skip
    """Amounts sorted into measures and counts; whole numbers of other things are dropped.

    `places` are rooms and finishes; a whole number up to `tiny` is too small for any measure.
    """
    named = {
        at for mention in mentions if mention.codes for at in range(mention.first, mention.last)
    }
    starts = {amount.first: amount for amount in amounts}
    ends = {amount.last: amount for amount in amounts}
    found = Sorted([], [], [])
    skip = -1
    for amount in amounts:
        if amount.first < skip:
            continue
        if amount.kind != "integer":
            found.measures.append(amount)
            continue
        look = _Look(tokens, amount, named, places, tiny, starts, ends)
        count = look.count()
        if look.text(amount.last) in PAIRS:
            found.measures.append(amount)
        elif (
            not count
            and amount.whole <= tiny
            and look.text(amount.last) in SIDES | _HOUSE | {"for", "to", "go", "goes"}
        ):
            found.vague.append((amount.start, amount.end))  # 2 left, 1 right; 4 for the annexe
        elif count:
            skip = count.last
            found.counts.append(count)
        elif not look.something_else():
            found.measures.append(amount)
        elif amount.spelled and amount.value > 1 and (amount.last in starts or look.some_of()):
            # two 17 3/8 glass: windows or panes? two of the liners: how many are wanted?
            found.vague.append((amount.start, amount.end))
    counts_in_a_row(tokens, found)
    named_counts(tokens, found)
    one_in_all(found.counts)
    return found


class _Look:
    """One bare whole number and what stands around it."""

    def __init__(
        self, tokens: list[Token], amount: Amount, named: set[int], places: frozenset[str],
        tiny: int, starts: dict[int, Amount], ends: dict[int, Amount],
    ) -> None:  # fmt: skip
        self.tokens, self.amount, self.named, self.places = tokens, amount, named, places
        self.tiny, self.starts, self.ends = tiny, starts, ends
        self.number = amount.whole

    def text(self, at: int) -> str:
        inside = 0 <= at < len(self.tokens) and self.tokens[at].kind not in ("line", "gap")
        return self.tokens[at].text if inside else ""

    def count(self) -> Count | None:
        if not 0 < self.number < 1000 or self._over():
            return None
        first, last = self.amount.first, self.amount.last
        if self.text(last) in PAIRS or self.text(last) in _HOUSE:
            return None
        if {self.text(first - 1), self.text(first - 2)} & _PAID and self.text(last) in (
            "each",
            "ea",
        ):
            return None  # we paid 78 each
        if self.text(first - 1) in ("first", "last") or self._in_a_row():
            return None  # first two ash, the third slate
        if self.text(first - 2) == "of" and self.text(first - 1) in ("the", "my", "our", "these"):
            return None  # one of the 9 windows
        if (self.text(first - 1) in _PLACES and self.text(last) not in _NOUNS) or (
            self.text(first - 1) == "in" and self.text(last) in ("pieces", "parts")
        ):
            return None  # plot 7 lounge; it came out in two pieces
        ahead = self._noun(last) or self._leads(first, last)
        if (self.text(last), self.text(last + 1)) == ("instead", "of") and self.number < 13:
            ahead = last  # 5 instead of 4
        if self.text(last - 1) == "dozen":
            ahead = ahead or last  # nothing else is told by the dozen
        end = ahead or self._times(first, last) or self._asked(first, last)
        end = end or self._parens(first, last) or self._alone(first, last)
        if not end:
            return None
        number = self.number
        dozen = self.starts.get(last)
        if dozen and self.text(last) == "dozen":
            number, end = number * 12, max(end, last + 1)
        every = "each" in {self.text(at) for at in range(last, end + 2)} and number > 0
        return Count(
            number, first, end, self.amount.start, self.tokens[end - 1].end, self.amount.doubt or "than" in (self.text(end), self.text(end + 1)),
            every=every, overall=self._in_all(first, end), stock=self.text(first - 1) in ("are", "have", "has", "got", "was", "were"), leads=(bool(ahead) or self.text(last) in ("x", "@", "of")) and self.text(first - 1) not in _QTY,
        )  # fmt: skip

    def _in_a_row(self) -> bool:
        """Whether it names windows, with others: units 101, 102, 103: windows 1-4: windows 1 through 4."""
        first, last = self.amount.first, self.amount.last
        row = {",", "-", "&", "and", "through", "thru", "to"}
        return (
            self.text(first - 1) in _MANY
            and self.text(last) in row
            and last + 1 in self.starts
            and self.text(self.starts[last + 1].last) in row | {":"}
        )

    def _in_all(self, first: int, end: int) -> bool:
        """7 windows altogether, 7 in total, total: 7 windows."""
        if self.text(end - 1) in _IN_ALL or self.text(end) in _IN_ALL - {"all"}:
            return True
        before = first - 1 if self.text(first - 1) not in {":", "=", "of", "is"} else first - 2
        # 8 windows total: 5 of them are the first of it.
        other = self.text(before - 1) in _NOUNS and before - 2 in self.starts
        return (self.text(before) == "total" and not other) or (
            self.text(end) == "in" and self.text(end + 1) in _IN_ALL
        )

    def _after_measure(self, first: int) -> bool:
        """Whether a measure's name comes right before, so that the number is its value."""
        at = first - 1
        while self.text(at) in {":", "=", "is", "-", "at", "are", "of", "("} and at > first - 4:
            at -= 1
        return at in self.named and self.number > self.tiny

    def _times(self, first: int, last: int) -> int:
        """x2, 2x, 2 x glass; a measure on both sides makes it a size across, unless it is tiny."""
        if self.text(last) == "of" and self.text(last + 1) in _KINDS and self.number < 100:
            return last  # 4 of size A
        if self.text(first - 1) == "x":
            sized = first - 1 in self.ends
            if self.text(last) in ("wide", "high", "tall", "w", "h", "deep") or self.number > 200:
                return 0
            if not sized or self.number <= self.tiny:
                return last
        if (
            self.text(last) == "x"
            and last + 1 not in self.starts
            and not self._after_measure(first)
        ):
            return last + 1
        # 5x 20 1/4: nobody parts a size across so.
        parted = self.text(last) == "x" and [t.glued for t in self.tokens[last : last + 2]] == [True, False]  # fmt: skip
        if self.text(last) == "@" and last + 1 in self.named and not self._after_measure(first):
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
        if self.text(last) == "of" and self.text(last + 1) in _THEM | {"the"}:
            return last + 2 if self.text(last + 1) in _THEM else 0
        if self.text(last) == "like" and self.text(last + 1) in _THEM:
            return last + 2
        at = last
        if self.text(at) == "dozen":
            at += 1
        at = self._after_panes(at)
        while at < last + 5:
            text = self.text(at)
            if text in PAIRS:
                return 0
            if text == "no" and self.text(at + 1) == ".":
                return at + 1
            if text in _NOUNS and not (at == last and self._after_measure(self.amount.first)):
                if text in ("each", "ea", "off") and self.number > 200:
                    return 0
                if text in _ONE and self.number != 1:
                    return 0
                return at + 1
            if text not in _ADJECTIVES and text not in self.places:
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
        if said in _SAID_ANEW and self.number <= 12 and last not in self.starts:
            return (
                last  # go ahead with two; all the same, but make it 2 in ash; same as last time: 3
            )
        if (self.text(last), self.text(last + 1)) == ("this", "time") and self.number <= 200:
            return last + 2
        if self.text(at) not in _ASKED or self.number > 200:
            return 0
        firm = self.text(at)[:2] in ("qt", "qn", "qu") and self.text(at) not in ("quote", "quoting")
        if not firm and (
            last in self.named or last in self.starts or self.text(last) in ("x", "/")
        ):
            return 0
        return last

    def _leads(self, first: int, last: int) -> int:
        """Three are ..., two with ..., 2 in ash, two kitchen ..., ash 2."""
        if self.text(last) in self.places and self.number <= 50 and not self._after_measure(first):
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
                return last if not self._after_measure(first) else 0
        if self.text(first - 1) not in _STARTS | self.places or self._after_measure(first):
            return 0
        if self.number == 1 and self.text(first - 1) in ("the", "other") and self.amount.spelled:
            return 0
        if self.text(last) in ("please", "pls", "plz", "thanks", "needed"):
            return last
        if self.text(first - 1) in ("other", "remaining") and self.text(last) in (":", ","):
            return last
        if self.text(last) == "more":
            last += 1
        if self.text(last) in _VERBS and (self.amount.spelled or self.number <= 50):
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
            if at in self.starts or self.text(at) in self.places or self.text(at) in _ALIKE:
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
        titled = self.text(first - 1) == ":" and near and not self._after_measure(first)
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

    def some_of(self) -> bool:
        """Two of the liners, three of our kitchen windows: some of what is there."""
        last = self.amount.last
        near = {self.text(at) for at in range(last + 1, last + 5)}
        return self.text(last) == "of" and bool(near & (_NOUNS | {"tracks", "balances", "strips"}))

    def something_else(self) -> bool:
        """Days, rooms, panes and other things nobody orders; "one" as a pronoun."""
        last = self.amount.last
        if self._over() == "sashes":
            return False
        if self.text(last) in _ELSE or (self.text(last) == "-" and self.text(last + 1) in _ELSE):
            return True
        ranged = self.text(last) in ("-", "to", "or") and self.text(last + 1).isdecimal()
        if ranged and self.text(last + 2) in _ELSE:
            return True  # 4-6 weeks
        if self.text(self.amount.first - 1) in ("over", "#") and self.number < _MOST_PANES:
            return True
        words = {self.text(last), self.text(last + 1)}
        if self.amount.spelled and self.number < 13:
            return not (self.amount.first - 1 in self.named and self.number > 1)
        return bool(words & _ELSE and self.text(last) in {"or", "to", "business", "working", "old"})

    def _after_panes(self, at: int) -> int:
        """Where what is counted goes on after its panes: two 12 over 12 windows."""
        one = self.starts.get(at)
        if one is None or self.text(one.last) != "over":
            return at
        two = self.starts.get(one.last + 1)
        return two.last if two and self._few(one, two) else at

    def _over(self) -> str:
        """What the number is of a pair with "over" between: "panes" as in 6 over 6, too few for a measure, or
        "sashes" as in 16 over 24 1/4, one's glass over the other's; else nothing."""
        for at in (self.amount.first - 1, self.amount.last):
            if self.text(at) == "over" and at in self.ends and at + 1 in self.starts:
                return "panes" if self._few(self.ends[at], self.starts[at + 1]) else "sashes"
        return ""

    def _few(self, *pair: Amount) -> bool:
        """Whether both are so few that they count panes: three times what is far too small for a measure is about
        the smallest size."""
        most = min(3 * self.tiny, _MOST_PANES)
        return all(one.kind == "integer" and one.whole <= most for one in pair)
