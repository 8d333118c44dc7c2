"""Rules of special quotes and enquiries: what needs one, when the factory is reminded, what it costs.

Knows no Django and asks no database: plain values in, plain values out.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from quotes.allot import round_money
from quotes.documents.content import (
    OpeningSheet,
    opening_from_plain,
    opening_to_plain,
    show_price,
)
from sizing.table import MOST_WEEKS
from sizing.wording import gettext as _
from sizing.wording import ngettext
from sizing.workdays import Calendar

# Why something is asked of a factory: the resolver's reasons, a clerk's own flag, lead time alone.
REASONS = {
    "unequal_split": "unequal split",
    "off_table": "off the table",
    "weight": "between weights",
    "not_offered": "not offered",
    "low_certainty": "too uncertain",
    "flagged": "flagged by the desk",
    "lead_time": "lead time only",
}
# The same to the factory, which knows neither our answers nor our classes; a clerk's flag is the clerk's own words.
WHY_WE_ASK = {
    "unequal_split": "unequal split",
    "off_table": "not a size of your table",
    "weight": "its weight lies in no one range of your table",
    "not_offered": "your table does not offer it",
    "low_certainty": "it could not be told which size of your table it is",
}
# Working days of the factory: to answer, and between one reminder and the next; then somebody calls.
DAYS_TO_ANSWER = 3
DAYS_BETWEEN = 2
MOST_REMINDERS = 3
# How long the link still opens after the day on which the answer was due.
LINK_LASTS_DAYS = 45


# 5; 6-7; 6 to 7 weeks
_WEEKS = re.compile(
    r"([0-9]{1,3})(?:\s*(?:[-–—]|to)\s*([0-9]{1,3}))?\s*(?:working\s+)?(?:weeks?|wks?|w)?\.?",
    re.IGNORECASE,
)


def weeks_typed(text: str) -> tuple[int, int] | None:
    """The least and the most weeks that somebody typed in one box; None of what is neither."""
    found = _WEEKS.fullmatch(text.strip())
    if found is None:
        return None
    low, high = int(found[1]), int(found[2] or found[1])
    return (low, high) if low <= high <= MOST_WEEKS else None


def special_reason(answer: Mapping[str, Any], overridden: bool) -> str | None:
    """Why an opening's stored answer needs a special quote; None if it does not.

    A part that a clerk chose instead settles it.
    """
    if overridden or answer.get("outcome") != "special":
        return None
    reason = answer.get("reason", "")
    return reason if reason in REASONS else "low_certainty"


@dataclass(frozen=True)
class Asked:
    """What an enquiry asks, as the factory reads it on page and paper.

    `opening` is there for a special, `part` (its number and description) for lead time alone.
    `number` is its letter's.
    """

    number: str
    sent_on: date
    answer_by: date
    shop: tuple[str, ...]
    factory: str
    contact: str
    wants_price: bool
    currency: str
    quantity: int
    unit: str
    why: str
    words: str = ""
    part: str = ""
    opening: OpeningSheet | None = None

    @property
    def what(self) -> str:
        return self.part or (self.opening.family if self.opening else "")

    @property
    def count(self) -> str:
        return f"{self.quantity} {self.unit}{'' if self.quantity == 1 else 's'}"

    @property
    def place(self) -> str:
        """Which one it is, where a letter asks about several."""
        return self.opening.name if self.opening else self.part

    def to_plain(self) -> dict[str, Any]:
        """As JSON holds it."""
        plain = asdict(self)
        plain["sent_on"], plain["answer_by"] = self.sent_on.isoformat(), self.answer_by.isoformat()
        plain["opening"] = opening_to_plain(self.opening) if self.opening else None
        return plain

    @classmethod
    def from_plain(cls, plain: Mapping[str, Any]) -> Asked:
        made = dict(plain)
        made["sent_on"] = date.fromisoformat(plain["sent_on"])
        made["answer_by"] = date.fromisoformat(plain["answer_by"])
        made["shop"] = tuple(plain["shop"])
        made["opening"] = opening_from_plain(plain["opening"]) if plain["opening"] else None
        return cls(**made)


@dataclass(frozen=True)
class Asking:
    """What one letter asks a factory: one thing, or several openings of one request."""

    items: tuple[Asked, ...]

    @property
    def first(self) -> Asked:
        """Has whatever all of them have alike: number, days, shop, factory, contact."""
        return self.items[0]

    @property
    def is_several(self) -> bool:
        return len(self.items) > 1

    @property
    def title(self) -> str:
        return f"Enquiry {self.first.number} for {self.sort}"

    @property
    def sort(self) -> str:
        if self.is_several:
            return f"{len(self.items)} specials"
        return "a special" if self.first.wants_price else "a lead time"

    @property
    def subject(self) -> str:
        """2 pairs of jamb liner; several are counted."""
        return self.sort if self.is_several else f"{self.first.count} of {self.first.what}"

    @property
    def questions(self) -> tuple[str, ...]:
        lead = "How many of your working weeks from our order until it leaves your factory?"
        if not self.first.wants_price:
            return (lead,)
        units = {asked.unit for asked in self.items}
        what = f"one {units.pop()}" if len(units) == 1 else "one of it"
        return (
            f"Your price for {what}, made to these measures, and its currency.",
            lead,
            "Until when does the price hold?",
            "If it can't be made, please say so, and what would have to be different.",
        )


@dataclass(frozen=True)
class Margin:
    """The rule in force: this much on the factory's cost; a manager checks totals over `check_over`."""

    percent: Decimal
    check_over: Decimal | None = None


def price_with(margin_percent: Decimal, cost: Decimal, currency: str) -> Decimal:
    """The price of one: cost and margin on it, rounded as all money is."""
    return round_money(cost * (100 + margin_percent) / 100, currency)


def margin_of(price: Decimal, cost: Decimal) -> Decimal | None:
    """The margin in percent of the cost that a price holds; None where the cost is nothing."""
    return None if not cost else ((price - cost) * 100 / cost).quantize(Decimal("0.01"))


def why_checked(
    price: Decimal, quantity: int, cost: Decimal | None, rule: Margin | None, currency: str
) -> str | None:
    """Why a manager has to look at a price before it goes into a quote; None if nobody has to. `cost` is None where
    it is in another currency."""
    if rule is None:
        return "there is no margin rule for it"
    # The rule's own price, rounded down, holds a little less than its percentage.
    if not cost or price < price_with(rule.percent, cost, currency):
        return f"its margin is below the {rule.percent.normalize():f} % of the rule"
    if rule.check_over is not None and price * quantity > rule.check_over:
        return f"it comes to more than {show_price(rule.check_over, currency)} {currency}"
    return None


def next_reminder(since: date, sent: int, calendar: Calendar) -> date | None:
    """When the next reminder goes out, `sent` of them being out, by the factory's working days; None when it is time
    to call.

    `since` is the day of the last one, the first time the day by which an answer was due: a desk that was
    shut for a while sends one when it opens again, not all that it missed.
    """
    if sent >= MOST_REMINDERS:
        return None
    return calendar.add_workdays(since, DAYS_BETWEEN if sent else 1)


def weeks_in_words(low: int, high: int) -> str:
    """5 to 6 working weeks"""
    if low == high:
        return ngettext("{count} working week", "{count} working weeks", low).format(count=low)
    return _("{low} to {high} working weeks").format(low=low, high=high)
