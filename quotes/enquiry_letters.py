"""What letters say: to the factory, in English, and to the customer, in the customer's language. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from quotes.addressed import addressee
from quotes.counted import unit_name
from quotes.days import long_date
from quotes.documents.content import Document, show_amount
from quotes.documents.lettering import clean
from quotes.enquiries import Asked, Asking
from sizing.wording import gettext as _
from sizing.wording import ngettext

Text = tuple[str, str]
# Lines of a quote that its mail names.
MOST_NAMED = 5


def enquiry_letter(asking: Asking, link: str) -> Text:
    """Subject and body of the enquiry itself."""
    first = asking.first
    return (
        f"{asking.title}, from {first.shop[0]}",
        _lines(
            _dear(first),
            "",
            *(_several(asking) if asking.is_several else _one(first)),
            "",
            f"Please answer by {long_date(first.answer_by)} on this page, no sign-in needed:",
            link,
            *(
                ["You can answer some now and the rest later: what you send is kept."]
                if asking.is_several
                else []
            ),
            "",
            "The enquiry is attached as a PDF."
            if first.opening is None
            else "The drawings and the measures are attached as a PDF."
            if asking.is_several
            else "The drawing and the measures are attached as a PDF.",
            "",
            *first.shop,
        ),
    )


def _one(asked: Asked) -> list[str]:
    what = "price and lead time of a special" if asked.wants_price else "lead time"
    return [
        f"we ask for the {what}: {asked.count} of {asked.what}.",
        *([f"Why we ask: {asked.why}."] if asked.why else []),
        *([asked.words] if asked.words else []),
    ]


def _several(asking: Asking) -> list[str]:
    return [f"we ask for the price and lead time of {asking.subject}:", "", *_listed(asking)]


def _listed(asking: Asking) -> list[str]:
    """A line for each, and under it the desk's own words about it."""
    lines = []
    for asked in asking.items:
        why = f" ({asked.why})" if asked.why else ""
        lines.append(f"- {asked.place}: {asked.count} of {asked.what}{why}")
        lines += [f"  {row}" for row in asked.words.splitlines()]
    return lines


def question_letter(asking: Asking, name: str, words: str, page: str) -> Text:
    """To the desk: what a factory's contact asks before they answer."""
    first = asking.first
    return (
        f"{clean(name)}, {first.factory}, asks about enquiry {first.number}",
        _lines(
            f"{clean(name)} of {first.factory} has a question about enquiry {first.number}, {asking.subject}:",
            "",
            *map(clean, words.splitlines()),
            "",
            "Answer it on this page and it goes to them by mail. They are not reminded until then:",
            page,
        ),
    )


def reply_letter(asking: Asking, name: str, asked: str, words: str, link: str) -> Text:
    """To the factory: what the desk says to their question."""
    first = asking.first
    return (
        f"{asking.title}: our answer to your question, from {first.shop[0]}",
        _lines(
            f"Dear {clean(name)},",
            "",
            "you asked:",
            *_quoted(asked.splitlines()),
            "",
            *map(clean, words.splitlines()),
            "",
            "This page is open for your answer, no sign-in needed:",
            link,
            "",
            *first.shop,
        ),
    )


def reminder_letter(asking: Asking, link: str, answered: int = 0) -> Text:
    """About what of a letter still waits; `answered` others of it do not wait any more."""
    first = asking.first
    several = asking.is_several or answered
    return (
        f"Reminder: {asking.title}, from {first.shop[0]}",
        _lines(
            _dear(first),
            "",
            *(_still_open(asking, answered) if several else _not_answered(first)),
            "",
            "Answering takes a minute on this page, no sign-in needed:"
            if not asking.is_several
            else "You can answer some now and the rest later on this page, no sign-in needed:",
            link,
            "",
            f"If {'one' if asking.is_several else 'it'} can't be made, please say so there too.",
            "",
            *first.shop,
        ),
    )


def _not_answered(asked: Asked) -> list[str]:
    return [
        f"on {long_date(asked.sent_on)} we asked about {asked.count} of {asked.what} and hoped "
        f"for your answer by {long_date(asked.answer_by)}."
    ]


def _still_open(asking: Asking, answered: int) -> list[str]:
    first, waits = asking.first, len(asking.items)
    if answered:
        left = f"{waits} of them {'is' if waits == 1 else 'are'} still open:"
    else:
        left = "None of them is answered yet:"
    return [
        f"on {long_date(first.sent_on)} we asked about {waits + answered} specials and hoped for "
        f"your answers by {long_date(first.answer_by)}. {left}",
        "",
        *_listed(asking),
    ]


def quote_letter(document: Document, link: str) -> Text:
    """To the customer: the quote is ready to be looked through and accepted."""
    total = show_amount(document.sums.total, document.currency, code=True)
    due = show_amount(document.sums.deposit, document.currency, code=True)
    return (
        _("{title}, from {shop}").format(title=document.title, shop=document.shop[0]),
        _lines(
            _("Dear {name},").format(name=addressee(document.customer[0])),
            "",
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
            "",
            *document.shop,
        ),
    )


def lapsing_letter(document: Document, link: str) -> Text:
    """To a customer who has not answered: the quote lapses in a few days."""
    until = long_date(document.valid_until)
    total = show_amount(document.sums.total, document.currency, code=True)
    return (
        _("{title} holds until {day}").format(title=document.title, day=until),
        _lines(
            _("Dear {name},").format(name=addressee(document.customer[0])),
            "",
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
            "",
            *document.shop,
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
        _lines(
            _("Dear {name},").format(name=addressee(document.customer[0])),
            "",
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
            "",
            *document.shop,
        ),
    )


class Said(NamedTuple):
    """What a customer asked, row by row, and the desk's words to it; "" where it has said so otherwise."""

    asked: Sequence[str]
    answer: str


def _quoted(rows: Sequence[str]) -> list[str]:
    return [f"> {clean(row)}" for row in rows]


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
        _lines(
            _("Dear {name},").format(name=addressee(document.customer[0])),
            "",
            _(
                "something in your quote {number}, issue {issue}, was wrong, so we have taken it back:"
            ).format(number=document.number, issue=document.issue),
            "",
            *map(clean, why.splitlines()),
            "",
            _("We are sorry. You need not do anything: a new issue follows. Its page until then:"),
            link,
            "",
            *document.shop,
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
    return subject, _lines(
        _("Dear {name},").format(name=addressee(document.customer[0])),
        "",
        *([_("you wrote:"), *_quoted(said.asked), ""] if said.asked else []),
        *([*map(clean, said.answer.splitlines()), ""] if said.answer else []),
        *rest,
        "",
        *document.shop,
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
        _lines(
            _("Dear {name},").format(name=addressee(name)),
            "",
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
            "",
            *shop,
        ),
    )


def refused_letter(name: str, shop: tuple[str, ...], what: str, remarks: str) -> Text:
    """To the customer: the factory can't make it."""
    return (
        _("Your special can't be made, from {shop}").format(shop=shop[0]),
        _lines(
            _("Dear {name},").format(name=addressee(name)),
            "",
            _("we asked the factory for {what}. They can't make it to these measures.").format(
                what=what
            ),
            *([remarks] if remarks else []),
            _("Please call us, and we will look for another way together."),
            "",
            *shop,
        ),
    )


def _dear(asked: Asked) -> str:
    return f"Dear {asked.contact or asked.factory},"


def _lines(*lines: str) -> str:
    return "\n".join(lines)
