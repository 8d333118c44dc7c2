"""What letters say to the customer, in the customer's language: about a quote, and about a special. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from quotes.counted import unit_name
from quotes.days import long_date
from quotes.documents.content import Document, show_amount
from quotes.documents.lettering import clean, quoted
from quotes.letters import Text
from quotes.letters.addressed import addressee
from sizing.wording import gettext as _
from sizing.wording import ngettext

# Lines of a quote that its mail names.
MOST_NAMED = 5


class Said(NamedTuple):
    """What a customer asked, row by row, and the desk's words to it; "" where it has said so otherwise."""

    asked: Sequence[str]
    answer: str


def quote_letter(document: Document, link: str) -> Text:
    """To the customer: the quote is ready to be looked through and accepted."""
    total = show_amount(document.sums.total, document.currency, code=True)
    due = show_amount(document.sums.deposit, document.currency, code=True)
    return (
        _("{title}, from {shop}").format(title=document.title, shop=document.shop[0]),
        _letter(
            document.customer[0],
            document.shop,
            _("your quote {number}, issue {issue}, is ready: {total} in all.").format(
                number=document.number, issue=document.issue, total=total
            ),
            *(
                [_("Of this, {deposit} is due when you accept.").format(deposit=due)]
                if document.sums.deposit
                else []
            ),
            "",
            *_what_for(document),
            "",
            _("Please check the measures of each opening and accept on this page:"),
            link,
            "",
            _(
                "It holds until {day}. The parts are made to order from these measures and cannot be "
                "returned."
            ).format(day=long_date(document.valid_until)),
            *(
                [
                    _(
                        "It takes the place of issue {number}, which can no longer be accepted."
                    ).format(number=document.issue - 1)
                ]
                if document.issue > 1
                else []
            ),
            _("The quote is attached as a PDF and as a workbook."),
        ),
    )


def lapsing_letter(document: Document, link: str) -> Text:
    """To a customer who has not answered: the quote lapses in a few days."""
    until = long_date(document.valid_until)
    total = show_amount(document.sums.total, document.currency, code=True)
    return (
        _("{title} holds until {day}").format(title=document.title, day=until),
        _letter(
            document.customer[0],
            document.shop,
            _(
                "your quote {number}, issue {issue}, of {total} in all, holds until {day}. "
                "After that day it can no longer be accepted."
            ).format(number=document.number, issue=document.issue, total=total, day=until),
            "",
            *_what_for(document),
            "",
            _("You can accept it, ask something or say what is different on this page:"),
            link,
            "",
            _("If you do not want it any more, you need not do anything: we do not write again."),
        ),
    )


def _what_for(document: Document) -> list[str]:
    """The first few lines: by their number alone nobody tells two quotes apart."""
    rows = [
        "- "
        + _("{counted} of {what}").format(
            counted=line.counted, what=clean(line.part_number or line.description)
        )
        for line in document.lines[:MOST_NAMED]
    ]
    more = len(document.lines) - MOST_NAMED
    if more > 0:
        words = ngettext("and {count} more line", "and {count} more lines", more)
        rows.append("- " + words.format(count=more))
    return rows


def accepted_letter(document: Document, accepted: str, link: str) -> Text:
    """To the customer: what was accepted, by whom and when, as it was accepted; `accepted` says it in words."""
    total = show_amount(document.sums.total, document.currency, code=True)
    due = show_amount(document.sums.deposit, document.currency, code=True)
    return (
        _("{title} is accepted").format(title=document.title),
        _letter(
            document.customer[0],
            document.shop,
            _("thank you. This is what you ordered:"),
            _("{title}, {total} in all. {accepted}.").format(
                title=document.title, total=total, accepted=accepted
            ),
            *(
                [
                    _("Of this, {deposit} is due now.").format(deposit=due),
                    *map(clean, document.how_to_pay.splitlines()),
                ]
                if document.sums.deposit
                else []
            ),
            "",
            _(
                "The papers with the confirmed measures are attached. We place the order next and tell you when it is placed. If a "
                "measure is wrong, please tell us today, before it is cut: parts made to order cannot be "
                "returned."
            ),
            link,
        ),
    )


def stands_letter(document: Document, said: Said, link: str) -> Text:
    """To a customer who asked something or for changes: the desk's answer, and the issue stands as it is."""
    return answer_letter(
        document,
        said,
        _("The quote stands as it was sent to you and holds until {day}.").format(
            day=long_date(document.valid_until)
        ),
        _("You can accept it on this page:"),
        link,
    )


def taken_back_letter(document: Document, why: str, link: str) -> Text:
    """To the customer: something in the issue was wrong, and nobody can accept it any more."""
    return (
        _("{title}: please do not accept it").format(title=document.title),
        _letter(
            document.customer[0],
            document.shop,
            _(
                "something in your quote {number}, issue {issue}, was wrong, so we have taken it back:"
            ).format(number=document.number, issue=document.issue),
            "",
            *map(clean, why.splitlines()),
            "",
            _("We are sorry. You need not do anything: a new issue follows. Its page until then:"),
            link,
        ),
    )


def lapsed_letter(document: Document, said: Said) -> Text:
    """The same to one whose quote has lapsed before they were answered."""
    return answer_letter(
        document,
        said,
        _("The quote held until {day} and can no longer be accepted.").format(
            day=long_date(document.valid_until)
        ),
        _("If you would like a new one, tell us and we send it to you."),
    )


def answer_letter(document: Document, said: Said, *rest: str) -> Text:
    """What the desk says to what was asked, if it says anything, under what it says it to, and how the issue
    stands: of two questions nobody can tell otherwise which one a “yes” is for."""
    subject = (
        _("{title}: your question is answered").format(title=document.title)
        if said.answer
        else _("{title}, from {shop}").format(title=document.title, shop=document.shop[0])
    )
    return subject, _letter(
        document.customer[0],
        document.shop,
        *([_("you wrote:"), *quoted(said.asked), ""] if said.asked else []),
        *([*map(clean, said.answer.splitlines()), ""] if said.answer else []),
        *rest,
    )


def priced_letter(
    name: str, shop: tuple[str, ...], priced: Sequence[tuple[str, str, str, str]], quote: str
) -> Text:
    """To the customer: specials are priced and stand in the quote that follows.

    `priced`: what it is, its price, for one piece or pair, and in how many weeks it leaves the factory ("" where nobody said).
    """
    many = len(priced)
    subject = ngettext(
        "Your special is priced, from {shop}", "Your specials are priced, from {shop}", many
    )
    stands = ngettext(
        "It now stands in quote {number}. We send you the quote to look through and accept; "
        "nothing is ordered before that.",
        "They now stand in quote {number}. We send you the quote to look through and accept; "
        "nothing is ordered before that.",
        many,
    )
    return (
        subject.format(shop=shop[0]),
        _letter(
            name,
            shop,
            _("the factory has answered."),
            *(
                (
                    _("{what}: {price} per {unit}, leaves the factory {lead} after we order it.")
                    if lead
                    else _("{what}: {price} per {unit}.")
                ).format(what=what, price=price, unit=unit_name(unit), lead=lead)
                for what, price, unit, lead in priced
            ),
            stands.format(number=quote),
        ),
    )


def refused_letter(name: str, shop: tuple[str, ...], what: str, remarks: str) -> Text:
    """To the customer: the factory can't make it."""
    return (
        _("Your special can't be made, from {shop}").format(shop=shop[0]),
        _letter(
            name,
            shop,
            _("we asked the factory for {what}. They can't make it to these measures.").format(
                what=what
            ),
            *([remarks] if remarks else []),
            _("Please call us, and we will look for another way together."),
        ),
    )


def _letter(name: str, shop: Sequence[str], *lines: str) -> str:
    """The lines between greeting and signature."""
    greeting = _("Dear {name},").format(name=addressee(name))
    return "\n".join([greeting, "", *lines, "", *shop])
