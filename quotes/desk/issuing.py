"""Issues quotes: what is checked before a draft is frozen, its link, and what the customer had asked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime, time, timedelta

from django.db import transaction
from django.utils import timezone

from quotes.answering import Answered
from quotes.desk.drafts import QuoteError, draft, refuse_accepted
from quotes.desk.quoting import which
from quotes.documents.compose import compose
from quotes.documents.content import FREIGHT, show_amount, to_plain, with_openings_to_make
from quotes.documents.naming import name_of
from quotes.documents.opening_sheets import answers_of, openings_of, spoken_against
from quotes.links import hash_of, new_nonce, token_of
from quotes.models import (
    ChangeAsked,
    Issue,
    LineOpening,
    Link,
    Opening,
    Quote,
    QuoteLine,
)
from sizing.prices import MOST_TOTAL
from sizing.wording import speaking

# How long a link still tells what happened after the quote has lapsed.
LINK_LASTS = timedelta(days=90)


@transaction.atomic
def issue_quote(issue_pk: int, by: str, on: date | None = None) -> Issue:
    """Freeze a draft: its document, how long it holds, the link. Raises QuoteError, PricingError.

    `on` is the day it counts from (today): prices, rates and validity are that day's.
    """
    issue = draft(issue_pk)
    today = on or timezone.localdate()
    refuse_accepted(issue.quote)
    lines = _with_openings(issue)
    _check_complete(lines)
    with speaking("en"):
        answered = answers_of(openings_of(lines))
        for sentence in _unsound(lines, answered):
            raise QuoteError(sentence)
    valid_until = min([today + timedelta(days=issue.valid_days), *_factory_ends(lines)])
    if valid_until < today:
        raise QuoteError("A factory's price for a special has lapsed: ask for a new one first.")
    document = compose(issue, today, valid_until, english=answered)
    if document.sums.total >= MOST_TOTAL:
        shown = show_amount(document.sums.total, document.currency, True)
        raise QuoteError(
            f"The quote comes to {shown}: check the quantities and prices of its lines."
        )
    english = document
    if document.language != "en":
        english = compose(issue, today, valid_until, "en", answered)
    if FREIGHT in english.to_come:
        raise QuoteError(f"The freight {english.freight_words}. Type the freight agreed.")
    at = timezone.now()
    issue.valid_until, issue.issued_by = valid_until, by
    issue.issued_at = at if on is None else at - (timezone.localdate() - on)
    issue.document = to_plain(document)
    if english is not document:
        issue.document = with_openings_to_make(issue.document, english)
    issue.save()
    nonce = new_nonce()
    Link.objects.create(
        issue=issue,
        nonce=nonce,
        token_hash=hash_of(token_of(nonce)),
        expires_at=timezone.make_aware(datetime.combine(valid_until, time.max)) + LINK_LASTS,
    )
    settle_changes(issue.quote, by)
    return issue


def settle_changes(
    quote: Quote, by: str, words: str = "", only: int | None = None
) -> list[ChangeAsked]:
    """What the customer had asked, or the one of it with this key, is dealt with, with the desk's words to it;
    what of it was open. Inside a transaction."""
    waiting = ChangeAsked.objects.filter(issue__quote=quote, done_at=None)
    asked = list(waiting.filter(pk=only) if only else waiting)
    # One moment for all of them: by it the letter that answers them finds them again.
    now = timezone.now()
    for one in asked:
        one.answer, one.done_by, one.done_at = words, by, now
    ChangeAsked.objects.bulk_update(asked, ["answer", "done_by", "done_at"])
    return asked


def differs(issue: Issue) -> list[str]:
    """Where a draft's lines and the openings they are for differ: what issuing would refuse, then counts."""
    lines = _with_openings(issue)
    with speaking("en"):
        return [*_unsound(lines, answers_of(openings_of(lines))), *_counted_otherwise(lines)]


def differs_since(issue: Issue) -> list[str]:
    """What the request says otherwise than an issue that is out: parts, then counts, a sentence each."""
    found = LineOpening.objects.filter(line__issue=issue).select_related(
        "line__part__revision", "opening__part__revision", "opening__override_part__revision"
    )
    others, counted = [], Counter[int]()
    lines: dict[int, QuoteLine] = {}
    for one in found.prefetch_related("opening__specials").order_by("line__position", "pk"):
        line = lines.setdefault(one.line_id, one.line)
        counted[one.line_id] += one.opening.quantity
        part = one.opening.part_to_order
        if line.part and (part is None or which(part) != which(line.part)):
            others.append(
                f"{name_of(one.opening)} is for {part or 'no part'} now, not {line.part}."
            )
    counts = [
        f"Of {line} it has {counted[key]} now, not {line.quantity}."
        for key, line in lines.items()
        if counted[key] != line.quantity
    ]
    return [*others, *counts]


def _with_openings(issue: Issue) -> list[QuoteLine]:
    return list(
        issue.lines.select_related("part__revision").prefetch_related(
            "openings__part__revision", "openings__override_part__revision", "openings__specials",
            "openings__revision__family",
        )
    )  # fmt: skip


def _counted_otherwise(lines: list[QuoteLine]) -> list[str]:
    found = []
    for number, line in enumerate(lines, 1):
        openings = line.openings.all()
        count = sum(opening.quantity for opening in openings)
        if openings and count != line.quantity:
            found.append(
                f"Line {number} counts {line.quantity}, the openings it is for {count} in the request."
            )
    return found


def _check_complete(lines: list[QuoteLine]) -> None:
    if not lines:
        raise QuoteError("There is no line in this quote: take them from the request or add one.")
    for number, line in enumerate(lines, 1):
        if line.unit_price is None:
            if line.kind == QuoteLine.Kind.PART:
                raise QuoteError(
                    f"Line {number}, {line.part}, has no price in its size table: ask the factory by a "
                    "special quote for its opening, have its price put into the table, or take the line out."
                )
            ask = "ask the factory, " if line.is_unpriced_special else ""
            raise QuoteError(f"Line {number} has no price yet: {ask}type one or take the line out.")


def _unsound(lines: list[QuoteLine], answered: Mapping[int, Answered]) -> Iterator[str]:
    """What is cut to order is not offered past a number that speaks against it, nor for what the openings were
    when the draft began: a sentence each. A part that somebody has chosen with a reason stands."""
    offered: list[Opening] = []
    for number, line in enumerate(lines, 1):
        if line.kind != QuoteLine.Kind.PART:
            continue
        for opening in line.openings.all():
            part = opening.part_to_order
            if part is None or which(part) != which(line.part):
                yield f"Line {number} is {line.part}, which {name_of(opening)} is no more: {TAKE_ANEW}"
            elif opening.override_part is None:
                offered.append(opening)
    for opening, sentence in spoken_against(offered, answered):
        yield (
            f"{name_of(opening)}: {sentence} If the part is right all the same, choose it yourself in the "
            "request and say why."
        )


TAKE_ANEW = "press “Take the lines anew from the request”."


def _factory_ends(lines: Iterable[QuoteLine]) -> list[date]:
    return [line.factory_valid_until for line in lines if line.factory_valid_until]
