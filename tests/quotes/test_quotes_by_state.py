"""Quotes asked for by how they stand are those of which the page says that they stand so."""

from datetime import timedelta

import pytest
from django.utils import timezone

from quotes.desk.accepting import accept
from quotes.desk.quoting import next_issue
from quotes.find_forms import QuotesFind
from quotes.lists.quotes import STATES, find_quotes, narrowed, state_of
from quotes.models import ChangeAsked, Issue, Quote
from tests.quotes import shop

pytestmark = pytest.mark.usefixtures("built")


def build():
    """One of each."""
    shop.load_liner()
    shop.draft_quote(caller="draft")
    shop.issued_quote(caller="open")
    question = shop.issued_quote(caller="question")
    ChangeAsked.objects.create(issue=question, name="Mara", is_question=True)
    asked = shop.issued_quote(caller="asked")
    ChangeAsked.objects.create(issue=asked, name="Mara")
    accepted = shop.issued_quote(caller="accepted")
    accept(accepted.pk, name="Mara", ticked=["Opening 1, Kitchen"])
    late = shop.issued_quote(caller="late")
    yesterday = timezone.localdate() - timedelta(days=1)
    Issue.objects.filter(pk=late.pk).update(valid_until=yesterday)
    replaced = shop.issued_quote(caller="replaced")
    fresh = next_issue(replaced.quote_id)
    accept(replaced.pk, name="Mara", ticked=["Opening 1, Kitchen"])
    Issue.objects.filter(pk=fresh.pk).update(issued_at=timezone.now(), valid_until=yesterday)
    again = shop.issued_quote(caller="next begun")
    next_issue(again.quote_id)


@pytest.mark.parametrize("word", STATES)
def test_by_state(word):
    """The question to the database and the words on the page agree, quote by quote."""
    wanted = {q.pk for q in Quote.objects.all() if state_of(q.issues.first()).word == word}
    assert wanted
    found = narrowed(find_quotes(), QuotesFind({"stands": word}).said)
    assert {quote.pk for quote in found} == wanted
