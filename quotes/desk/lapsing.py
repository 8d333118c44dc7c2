"""Reminds customers of quotes that they got by mail and that lapse in a few days: one mail for each issue."""

from __future__ import annotations

from datetime import date, timedelta

from django.db import transaction
from django.db.models import Exists, OuterRef, QuerySet
from django.utils import timezone

from quotes.desk.holding import hold_one
from quotes.desk.posting import post
from quotes.documents.content import from_plain
from quotes.erased import NOWHERE
from quotes.letters.customer import lapsing_letter
from quotes.lists.shop import the_shop
from quotes.lists.today import quotes_lapsing
from quotes.models import ChangeAsked, Issue, Letter, Quote
from quotes.post import LINK
from sizing.wording import speaking

DAYS_BEFORE = 3
_BY = "the desk"


def remind_of_lapsing(on: date | None = None) -> int:
    """Write to whoever has not answered a quote that lapses in a few days; how many letters.

    Run again, or by two workers at once, it writes nothing more. Nothing where the shop does not want it.
    """
    if not the_shop().remind_customers:
        return 0
    day = on or timezone.localdate()
    return sum(_remind(*keys, day) for keys in _to_remind(day).values_list("pk", "quote_id"))


def _to_remind(day: date) -> QuerySet[Issue]:
    """Open issues that lapse soon, of which a letter arrived and none was written these last days. Whoever
    waits for our answer is not asked for theirs."""
    written = Letter.objects.filter(issue=OuterRef("pk"))
    heard = timezone.now() - timedelta(days=DAYS_BEFORE)
    return (
        quotes_lapsing(day, day + timedelta(days=DAYS_BEFORE))
        .filter(Exists(written.filter(sent_at__isnull=False).exclude(to=NOWHERE)))
        .exclude(Exists(written.filter(created_at__gt=heard)))
        .exclude(Exists(written.filter(by=_BY)))
        .exclude(Exists(ChangeAsked.objects.filter(issue=OuterRef("pk"), done_at=None)))
    )


@transaction.atomic
def _remind(issue_pk: int, quote_pk: int, day: date) -> bool:
    # Whoever accepts it at this moment is waited for.
    hold_one(Quote.objects.filter(pk=quote_pk))
    issue = _to_remind(day).filter(pk=issue_pk).first()
    sent = issue.last_letter if issue else None
    if issue is None or sent is None:
        return False
    document = from_plain(issue.document)
    with speaking(document.language):
        subject, body = lapsing_letter(document, LINK)
    post(
        cause=f"issue {issue.pk} lapses",
        to=sent.to,
        subject=subject,
        body=body,
        by=_BY,
        issue=issue,
    )
    return True
