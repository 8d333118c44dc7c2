"""Two processes press "accept" on the same issue at the same instant, again and again.

Run by test_accept_race.py against a fresh migrated database in DATABASE_URL: issues the quotes, lets two
processes loose on them, and prints what came of it as JSON.
"""

import json
import multiprocessing
import os
import sys

import django

NAMES = ("Mara Quill", "Otto Late")


def press(name: str, tokens: list[str], ready, answers) -> None:
    """One person: for each link wait for the other person, then accept; tells the pages' statuses."""
    from django.test import Client
    from django.urls import reverse

    client = Client(raise_request_exception=False)
    statuses = []
    for token in tokens:
        address = reverse("quote-accept", args=[token])
        ready.wait(60)
        page = client.post(address, {"name": name, "tick-0": "yes"}, follow=True)
        statuses.append((page.status_code, "Accepted by " in page.content.decode()))
    answers.put(statuses)


def issue_quotes(rounds: int) -> list[str]:
    """So many issued quotes, each with its own link; returns the tokens."""
    from datetime import timedelta

    from django.utils import timezone

    from quotes.links import hash_of, new_nonce, token_of
    from quotes.models import Issue, Link, Quote
    from tests.quotes import shop

    shop.load_liner()
    first = shop.issued_quote()
    tokens = []
    for _ in range(rounds):
        quote = Quote.objects.create(customer=first.quote.customer, currency="USD")
        issue = Issue.objects.create(
            quote=quote, number=1, issued_at=first.issued_at, valid_until=first.valid_until,
            document=first.document,
        )  # fmt: skip
        nonce = new_nonce()
        token = token_of(nonce)
        expires = timezone.now() + timedelta(days=9)
        Link.objects.create(issue=issue, nonce=nonce, token_hash=hash_of(token), expires_at=expires)
        tokens.append(token)
    return tokens


def main(rounds: int) -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
    os.environ["ALLOWED_HOSTS"] = "testserver"
    django.setup()
    from django.db import connection

    import config.urls  # noqa: F401  (loaded before the fork, once for both)
    from quotes.models import Acceptance

    tokens = issue_quotes(rounds)
    # A database connection must never be carried into another process.
    connection.close()
    fork = multiprocessing.get_context("fork")
    ready, answers = fork.Barrier(len(NAMES)), fork.Queue()
    people = [fork.Process(target=press, args=(n, tokens, ready, answers)) for n in NAMES]
    for person in people:
        person.start()
    statuses = [answers.get(timeout=540) for _ in people]
    for person in people:
        person.join(30)
    stored = list(Acceptance.objects.values_list("name", flat=True))
    print(json.dumps({"statuses": statuses, "stored": stored, "engine": connection.vendor}))


if __name__ == "__main__":
    main(int(sys.argv[1]))
