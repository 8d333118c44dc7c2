"""An answer as the counter page shows it: words and figures, nothing decided anew."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import ROUND_FLOOR, Decimal
from functools import cached_property
from itertools import groupby

from django.utils import timezone
from moneyed import Money
from moneyed.l10n import format_money

from quotes import against
from quotes.answer_lines import Line, lines_of
from quotes.answering import Answered
from quotes.days import long_date
from quotes.lists.prices import lead_time, leaves_between
from sizing import cautions
from sizing.near import holding, meant, nearly
from sizing.resolver.answer import Answer
from sizing.resolver.explain import certainty_in_words, row_in_words, split_in_words
from sizing.table import Part, SizeTable

# So many part numbers are named that hold what was typed.
MOST_HOLDING = 9
HEADLINES = {
    "part": "One part",
    "ask": "Ask the caller",
    "special": "Special quote",
    "error": "Can't be read",
    "nothing": "Nothing measured yet",
}
TO_BE_CLEARED = "to be cleared first"
SASH_WORDS = {
    "glass_width": "glass width",
    "thickness": "thickness",
    "panes": "panes",
    "frame": "frame",
}
CAUTIONS = {
    c.code: c
    for c in (
        cautions.SPRING,
        cautions.LIFT,
        cautions.LEAD,
        cautions.EGRESS,
        cautions.SAFETY_GLAZING,
    )
}


@dataclass(frozen=True)
class Offer:
    """Parts to choose from that the answer leaves open, of one weight class."""

    weight_class: str
    parts: tuple[Part, ...]


class AnswerSheet:
    """What the panel beside an opening shows. `window` is the lead time in words."""

    def __init__(self, answered: Answered, window: str = "") -> None:
        self.answered = answered
        self.table: SizeTable = answered.table
        self.answer: Answer | None = answered.answer
        self.window = window
        self.problems = answered.problems

    @cached_property
    def state(self) -> str:
        if self.answer is None:
            return "error"
        return "nothing" if self.answered.nothing_said else self.answer.outcome

    @property
    def headline(self) -> str:
        return HEADLINES[self.state]

    @property
    def spoken_against(self) -> str:
        """What a number says against the answer: until it is cleared nothing is offered, nor called certain. Where
        its unit is asked for, that is the answer."""
        if self.answer and self.answer.reason == "unit":
            return ""
        return self.mixed_up or self.misfits

    @property
    def part(self) -> Part | None:
        return self.answer.part if self.answer else None

    @property
    def text(self) -> str:
        """The sentence to read out; the headline has said "special quote" already."""
        text = self.answer.text if self.answer else " ".join(self.problems.values())
        text = text.removeprefix("Special quote").removeprefix(":").lstrip()
        if self.spoken_against:
            text = against.asked_after(text)
        return text[:1].upper() + text[1:]

    @property
    def rest(self) -> str:
        """What the measures that could be read say without the one that could not."""
        rest = self.answered.rest
        if rest is None:
            return ""
        sure = f" ({certainty_in_words(rest.certainty)})" if rest.outcome == "part" else ""
        return f"Without it{sure}: {rest.text}"

    @property
    def spoken(self) -> str:
        """One line for a screen reader, and above the boxes on a phone, when the answer changes: what nobody
        should order past comes before what is longer."""
        number = f": {self.part.part_number}" if self.part else ""
        said = (f"{self.headline}{number}.", self.warning, self.text, self.rest)
        return " ".join(filter(None, said))

    @property
    def warning(self) -> str:
        return self.spoken_against or self.near_another_class

    @property
    def size(self) -> str:
        row = self.answer.row if self.answer else None
        return "" if row is None else row_in_words(self.table, row)

    @property
    def cell(self) -> str:
        return self._cell(self.part) if self.part else ""

    def _cell(self, part: Part) -> str:
        """The part's weight class and finish, and how it is sold."""
        words = (part.weight_class, part.finish, f"sold by the {self.table.sold_as}")
        return ", ".join(word for word in words if word)

    @cached_property
    def taken(self) -> Part | None:
        """The part that the clerk takes in place of the desk's, if the table has it."""
        number = meant(self.answered.said.override, self._numbers)
        parts = (p for p in self.table.parts if number and p.part_number == number)
        return next(parts, None)

    @property
    def _numbers(self) -> list[str]:
        return [part.part_number for part in self.table.parts if part.part_number]

    @property
    def instead(self) -> str:
        """Which part numbers of the table may be meant by what the clerk typed, where it has none that is called so."""
        typed = self.answered.said.override
        if "?" not in typed and (near := nearly(typed, self._numbers)):
            return f"nearly so: {', '.join(near)}"
        found = holding(typed, self._numbers)
        more = len(found) - MOST_HOLDING
        named = ", ".join(found[:MOST_HOLDING]) + (f" and {more} more" if more > 0 else "")
        return f"parts that hold it: {named}" if found else ""

    @property
    def taken_size(self) -> str:
        """What the part is that the clerk has taken; only where one is."""
        return f"{row_in_words(self.table, self.taken.row)}; {self._cell(self.taken)}"

    @property
    def certainty(self) -> str:
        """How sure, and of what: the part, the size that is settled, or the likeliest size so far."""
        if self.answer is None:
            return ""
        if self.spoken_against:
            return TO_BE_CLEARED
        words = certainty_in_words(self.answer.certainty)
        if self.state != "ask" and self.answer.reason != "low_certainty":
            return f"size {words}" if self.near_another_class else words
        if self.answer.row is None and self.answer.certainty < 0.01:
            return "no size of the table so far"
        return f"size {words}" if self.answer.row is not None else f"best size so far {words}"

    @property
    def likelier_special(self) -> bool:
        """Whether, before its size is settled, more speaks for a special than for any size of the table: nobody
        is told the usual weeks then."""
        answer = self.answer
        return (
            answer is not None
            and self.state == "ask"
            and answer.row is None
            and answer.shares[0] < 0.5
        )

    @property
    def percent(self) -> str:
        """The number behind the words, never rounded up to a certainty that it is not."""
        if self.answer is None or self.spoken_against:
            return ""
        share = Decimal(self.answer.certainty) * 100
        shown = share.quantize(Decimal("0.1") if share > 90 else Decimal(1), ROUND_FLOOR)
        return f"{shown} %"

    @property
    def sure(self) -> str:
        """How sure, in words with their number where there is one."""
        return f"{self.certainty} ({self.percent})" if self.percent else self.certainty

    @cached_property
    def price(self) -> str:
        """What the part costs that would be ordered: the clerk's if one is taken."""
        part = self.taken or self.part
        if part is None or part.price is None:
            return ""
        count = self.answered.said.quantity
        words = f"{self._money(part.price)} a {self.table.sold_as}"
        return words if count == 1 else f"{words}; {count} for {self._money(part.price * count)}"

    @property
    def lacks_price(self) -> bool:
        """Whether there is a part and its table has no price for it: nobody should find that out at the quote."""
        part = self.taken or self.part
        return part is not None and part.price is None

    def _money(self, amount: Decimal) -> str:
        return format_money(Money(amount, self.table.currency), locale="en_US")

    @property
    def split(self) -> str:
        split = self.answer.split if self.answer else None
        return split_in_words(split, self.table.unit) if split else ""

    @property
    def cautions(self) -> list[cautions.Caution]:
        return [CAUTIONS[code] for code in (self.answer.cautions if self.answer else ())]

    @property
    def offered(self) -> list[Offer]:
        """What the clerk may choose from; the class is called "this size" where the table has none."""
        parts = self.answer.offered if self.answer else ()
        groups = groupby(parts, key=lambda p: p.weight_class)
        return [Offer(name or "this size", tuple(found)) for name, found in groups]

    @cached_property
    def lines(self) -> list[Line]:
        """The explanation, a measure each."""
        return lines_of(self.answered)

    @property
    def compared_with(self) -> str:
        """Which size of the table the measures stand beside."""
        if self.is_unequal:
            return "With both sashes"
        reason = self.answer.reason if self.answer else ""
        return {"off_table": "Nearest size", "low_certainty": "Likeliest size"}.get(
            reason, "This size"
        )

    @property
    def is_unequal(self) -> bool:
        return self.answer is not None and self.answer.reason == "unequal_split"

    @property
    def misfits(self) -> str:
        """What does not fit a size that counts as settled, or both sashes of an unequal split: nobody
        should order past it unseen."""
        if self.answer is None or (self.answer.row is None and not self.is_unequal):
            return ""
        bad = [line for line in self.lines if line.verdict == "misfit" and line.row_value]
        if not bad:
            return ""
        where = "expected" if self.is_unequal else "here"
        said = ", ".join(
            f"{line.label.lower()} {line.value} ({line.row_value} {where})" for line in bad
        )
        if self.is_unequal:
            return (
                f"Both glass heights together do not make: {said}. "
                "Have all of it measured again before anything is ordered."
            )
        return f"This size does not explain: {said}. Have that measured again before anything is ordered."

    @property
    def mixed_up(self) -> str:
        return against.mixed_up(self.table, self.answered.opening.lengths) if self.answer else ""

    @cached_property
    def near_another_class(self) -> str:
        if self.part is None:
            return ""
        return against.near_another_class(self.table, self.part, self.answered.opening)

    @property
    def still(self) -> str:
        """What a sash described in part still lacks before its weight can be worked out."""
        lacking = [SASH_WORDS[name] for name in self.answered.sash_lacks]
        return (
            f"For the weight from the glass, still to say: {', '.join(lacking)}." if lacking else ""
        )

    @property
    def wanting(self) -> str:
        """What to ask the caller before a special goes to its factory."""
        asked = [
            "which finish" if code == "finish" else self.table.measure(code).named
            for code in self.answered.wanting
        ]
        return f"Ask too, as the factory needs it: {' and '.join(asked)}." if asked else ""

    @property
    def asks(self) -> str:
        """The measure, or "finish", that the caller is to be asked for next: what can't be read, else what is to be
        measured again, else what the desk asks; "" of nothing."""
        again = (
            [r.measure for r in self.answer.readings if r.verdict == "misfit"]
            if self.misfits
            else []
        )
        asked = self.answer.ask if self.answer else None
        return next(
            iter([*self.problems, *again, *filter(None, [asked]), *self.answered.wanting]), ""
        )

    @property
    def compares(self) -> bool:
        """Whether any measure stands beside a size of the table."""
        return any(line.row_value for line in self.lines)


def in_time(answered: Answered, needed_by: date | None) -> str:
    """Whether a part ordered today leaves its factory by the day on which the caller needs it."""
    if needed_by is None or answered.answer is None or answered.answer.part is None:
        return ""
    number = answered.answer.part.part_number
    first, last = leaves_between(answered.revision, number, timezone.localdate())
    if last < needed_by:
        return f"In time: it leaves the factory by {long_date(last)}; the way to them comes after that."
    if first < needed_by:
        return f"Perhaps too late: it leaves the factory between {long_date(first)} and {long_date(last)}."
    return f"Too late: it leaves the factory on {long_date(first)} at the earliest."


def sheet_of(answered: Answered) -> AnswerSheet:
    """The panel with the lead time of the part, or where there is none of its family."""
    part = answered.answer.part if answered.answer else None
    return AnswerSheet(answered, lead_time(answered.revision, (part and part.part_number) or ""))
