"""Tells programs of news of their quotes and orders: each fact once, signed, again until it is taken.

The facts are the issues and the events that are stored anyway. `gather` writes what has not been
told yet as rows; `sweep` sends them, like mail (see `quotes.post`). So nothing is lost when a worker
dies, and what happens is never held up by a program that does not answer.
"""

from __future__ import annotations

import json
import time
from collections.abc import Iterator
from datetime import timedelta
from urllib.request import Request

from django.conf import settings
from django.utils import timezone

from ordering.models import Event
from quotes import post
from quotes.links import token_of
from quotes.models import Integration, Issue, News
from quotes.outgoing import calling
from quotes.signing import signed_headers

# For a whole call, however slowly its answer comes.
SECONDS = 10
# A program that takes nothing for so long asks the API when it is back.
GIVE_UP = timedelta(days=3)


def gather() -> int:
    """Write the news that nobody was told yet; how many there are."""
    told = Integration.objects.filter(switched_off_at=None).exclude(news_url="")
    rows = [news for program in told for news in (*_issues(program), *_events(program))]
    # Another worker may have written the same just now: the database keeps one of each.
    News.objects.bulk_create(rows, ignore_conflicts=True)
    return len(rows)


def _issues(program: Integration) -> Iterator[News]:
    issued = Issue.objects.filter(
        quote__request__taken_by=program.signature, issued_at__gte=program.news_since
    ).exclude(pk__in=_known(program, News.What.QUOTE))
    for issue in issued.select_related("quote"):
        happened = f"issue {issue.number} issued"
        yield _news(program, News.What.QUOTE, issue, issue.quote.number, happened, issue.issued_at)


def _events(program: Integration) -> Iterator[News]:
    events = Event.objects.filter(
        order__acceptance__quote__request__taken_by=program.signature,
        at__gte=program.news_since,
    ).exclude(pk__in=_known(program, News.What.ORDER))
    for event in events.select_related("order"):
        yield _news(program, News.What.ORDER, event, event.order.number, str(event.act), event.at)


def _known(program: Integration, what: str):
    return News.objects.filter(integration=program, what=what).values("fact")


def _news(program, what, fact, number, happened, at) -> News:
    return News(
        integration=program,
        what=what,
        fact=fact.pk,
        number=number,
        happened=happened,
        at=at,
        message_id=post.new_message_id(),
    )


def sweep() -> int:
    """Gather what is new and send what is due; how much was taken."""
    gather()
    young = News.objects.filter(
        created_at__gte=timezone.now() - GIVE_UP, integration__switched_off_at=None
    ).exclude(integration__news_url="")
    return post.send_due(young, _Call)


def secret_of(program: Integration) -> str:
    """What the program checks signatures with; made from the installation's key, stored nowhere."""
    return token_of(f"news:{program.news_nonce}")


class _Call:
    """One news as an HTTP POST, with the face of a mail."""

    def __init__(self, news: News) -> None:
        self.news = news
        self.extra_headers: dict[str, str] = {}

    def send(self) -> None:
        """Raises OSError unless the program answers 2xx in time."""
        news, program = self.news, self.news.integration
        body = json.dumps(
            {
                "id": news.message_id,
                "what": news.what,
                "number": news.number,
                "happened": news.happened,
                "at": news.at.isoformat(),
            }
        ).encode()
        headers = signed_headers(
            secret_of(program).encode(),
            program.news_url,
            body,
            created=int(time.time()),
            keyid=f"program-{program.pk}",
        )
        # `tell_at` takes http and https only.
        request = Request(  # noqa: S310
            program.news_url,
            data=body,
            headers={"Content-Type": "application/json", **self.extra_headers, **headers},
            method="POST",
        )
        with calling(request, SECONDS, settings.NEWS_INSIDE):
            pass
