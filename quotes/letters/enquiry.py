"""What letters to a factory about an enquiry say, in English. Pure."""

from __future__ import annotations

from quotes.days import long_date
from quotes.documents.lettering import clean, quoted
from quotes.enquiries import Asked, Asking
from quotes.letters import Text


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


def reply_letter(asking: Asking, name: str, asked: str, words: str, link: str) -> Text:
    """To the factory: what the desk says to their question."""
    first = asking.first
    return (
        f"{asking.title}: our answer to your question, from {first.shop[0]}",
        _lines(
            f"Dear {clean(name)},",
            "",
            "you asked:",
            *quoted(asked.splitlines()),
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


def _dear(asked: Asked) -> str:
    return f"Dear {asked.contact or asked.factory},"


def _lines(*lines: str) -> str:
    return "\n".join(lines)
