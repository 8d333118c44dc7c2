"""Reads an issue of a quote: what it says, what it changes, and prices that have moved since."""

from __future__ import annotations

from datetime import date

from django.utils import timezone

from quotes.days import long_date
from quotes.documents.changes import changes
from quotes.documents.compose import compose
from quotes.documents.content import Document, from_plain, show_price
from quotes.lists.prices import parts_in_force
from quotes.models import Issue, QuoteLine


def document_of(issue: Issue) -> Document:
    """What an issue says: as frozen when it was issued, or a draft as it would be today."""
    if issue.document is not None:
        return from_plain(issue.document)
    return compose(issue, timezone.localdate())


def changed_since_last(issue: Issue) -> list[str]:
    """What this issue changes from the one issued before it, in sentences; empty for the first."""
    earlier = issue.quote.issues.filter(number__lt=issue.number, issued_at__isnull=False)
    last = earlier.order_by("-number").first()
    return changes(document_of(last), document_of(issue)) if last else []


def moved_prices(issue: Issue, on: date | None = None) -> list[str]:
    """Sentences on every part whose list price in force is no longer the one in the issue."""
    day = on or timezone.localdate()
    currency = issue.quote.currency
    found = []
    lines = issue.lines.filter(kind=QuoteLine.Kind.PART).select_related(
        "part__revision__family", "part__row"
    )
    in_force = parts_in_force([line.part for line in lines if line.part], day)
    for line in lines:
        if line.part is None:
            continue
        now = in_force.get(line.part.pk)
        name = line.part.part_number
        if not line.part.revision.family.is_made(day):
            since = long_date(line.part.revision.family.not_made_from)
            found.append(f"{name} has not been made since {since}: call the customer.")
        elif now is None:
            found.append(f"{name} is no longer in the size table in force.")
        elif now.price is None and line.unit_price is None:
            found.append(
                f"{name} has no price in its size table: ask the factory by a special quote for its "
                "opening, or have its price put into the table."
            )
        elif now.price is None:
            found.append(f"{name} has no price in the size table in force.")
        elif now.price.currency.code != currency:
            found.append(f"{name} is now priced in {now.price.currency.code}.")
        elif line.unit_price is not None and now.price.amount != line.unit_price:
            was, is_now = (
                show_price(line.unit_price, currency),
                show_price(now.price.amount, currency),
            )
            found.append(f"{name} was quoted at {was} {currency}, its list price is now {is_now}.")
    for line in issue.lines.filter(factory_valid_until__lt=day):
        found.append(
            f"The factory's price for {line} held until {long_date(line.factory_valid_until)}."
        )
    return found
