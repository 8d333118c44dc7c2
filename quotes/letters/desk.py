"""What letters to people of the desk say, in English. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from quotes.documents.lettering import clean
from quotes.enquiries import Asking
from quotes.letters import Text


def invitation_letter(name: str, by: str, until: datetime, shop: Sequence[str], link: str) -> Text:
    """To whom `by` asks to the desk; the page opens `until` then, in the shop's own time."""
    return (
        f"Join the desk of {shop[0]}",
        "\n".join(
            [
                f"Hello {name},",
                "",
                f"{by} asks you to join the desk of {shop[0]}.",
                "Choose your sign-in name and password on this page:",
                link,
                "",
                f"The page works once, until {until:%d %B %Y at %H:%M}. Pass it on to nobody.",
                "If you did not expect this, leave it be: nothing happens.",
                "",
                *shop,
            ]
        ),
    )


def question_letter(asking: Asking, name: str, words: str, page: str) -> Text:
    """To the desk: what a factory's contact asks before they answer."""
    first = asking.first
    return (
        f"{clean(name)}, {first.factory}, asks about enquiry {first.number}",
        "\n".join(
            [
                f"{clean(name)} of {first.factory} has a question about enquiry {first.number}, {asking.subject}:",
                "",
                *map(clean, words.splitlines()),
                "",
                "Answer it on this page and it goes to them by mail. They are not reminded until then:",
                page,
            ]
        ),
    )
