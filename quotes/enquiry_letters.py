"""What the letters about specials say: to the factory, and to the customer. Pure."""

from __future__ import annotations

from quotes.days import long_date
from quotes.enquiries import Asked

Text = tuple[str, str]


def enquiry_letter(asked: Asked, link: str) -> Text:
    """Subject and body of the enquiry itself."""
    what = "price and lead time of a special" if asked.wants_price else "lead time"
    return (
        f"{asked.title}, from {asked.shop[0]}",
        _lines(
            _dear(asked),
            "",
            f"we ask for the {what}: {asked.count} of {asked.what}.",
            *([f"Why we ask: {asked.why}."] if asked.why else []),
            *([asked.words] if asked.words else []),
            "",
            f"Please answer by {long_date(asked.answer_by)} on this page, no sign-in needed:",
            link,
            "",
            "The drawing and the measures are attached as a PDF."
            if asked.opening
            else "The enquiry is attached as a PDF.",
            "",
            *asked.shop,
        ),
    )


def reminder_letter(asked: Asked, link: str) -> Text:
    return (
        f"Reminder: {asked.title}, from {asked.shop[0]}",
        _lines(
            _dear(asked),
            "",
            f"on {long_date(asked.sent_on)} we asked about {asked.count} of {asked.what} and hoped "
            f"for your answer by {long_date(asked.answer_by)}.",
            "",
            "Answering takes a minute on this page, no sign-in needed:",
            link,
            "",
            "If it can't be made, please say so there too.",
            "",
            *asked.shop,
        ),
    )


def priced_letter(
    name: str, shop: tuple[str, ...], what: str, price: str, lead: str, quote: str
) -> Text:
    """To the customer: the special is priced and stands in the quote that follows."""
    return (
        f"Your special is priced, from {shop[0]}",
        _lines(
            f"Dear {name or 'customer'},",
            "",
            f"the factory has answered. {what}: {price}"
            + (f", leaves the factory {lead} after we order it." if lead else "."),
            f"It now stands in quote {quote}. You will get the quote to look through and accept; "
            "nothing is ordered before that.",
            "",
            *shop,
        ),
    )


def refused_letter(name: str, shop: tuple[str, ...], what: str, remarks: str) -> Text:
    """To the customer: the factory can't make it."""
    return (
        f"Your special can't be made, from {shop[0]}",
        _lines(
            f"Dear {name or 'customer'},",
            "",
            f"we asked the factory for {what}. They can't make it to these measures.",
            *([remarks] if remarks else []),
            "Please call us, and we will look for another way together.",
            "",
            *shop,
        ),
    )


def _dear(asked: Asked) -> str:
    return f"Dear {asked.contact or asked.factory},"


def _lines(*lines: str) -> str:
    return "\n".join(lines)
