"""Quotes asked for by how they stand are those of which the page says that they stand so, and so says the list."""

from datetime import timedelta

import pytest
from django.utils import timezone

from quotes import searched
from quotes.desk.accepting import accept
from quotes.desk.drafts import next_issue
from quotes.find_forms import QuotesFind
from quotes.lists import quotes as quote_lists
from quotes.lists.issue_states import STATES, state_of, with_states
from quotes.lists.quotes import find_quotes, narrowed, quotes_asked_for
from quotes.lists.today import quotes_lapsing
from quotes.models import ChangeAsked, Issue, Quote
from sizing.models import Family, Part
from sizing.tables import stop_offering
from tests.quotes import shop
from tests.quotes.first_keys import assert_first_are_first

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
    found = narrowed(find_quotes().every(), QuotesFind({"stands": word}).said)
    assert {quote.pk for quote in found} == wanted


@pytest.fixture
def given_up():
    """The same quotes after the factory has given up what is in them."""
    family = stop_offering(Family.objects.get(), timezone.localdate())
    yield
    stop_offering(family, None)


@pytest.mark.parametrize("word", STATES)
def test_by_state_of_what_is_not_made_any_more(word, given_up):
    """A quote of it has lapsed on its page, in the list and in what the list is narrowed to."""
    stands = {quote.pk: state_of(quote.issues.first()) for quote in Quote.objects.all()}
    for quote in with_states(list(Quote.objects.all())):
        assert quote.state.word == stands[quote.pk].word
        assert quote.state.sentence == stands[quote.pk].sentence
    found = narrowed(find_quotes().every(), QuotesFind({"stands": word}).said)
    assert {q.pk for q in found} == {pk for pk, state in stands.items() if state.word == word}


@pytest.mark.database
@pytest.mark.parametrize("not_made", [False, True])
@pytest.mark.parametrize(("common", "a_page"), [(1000, 251), (2, 251), (2, 0)])
def test_found_and_standing_so(monkeypatch, common, a_page, not_made):
    """However the quotes with a word are come by, of those that stand so just these are left, the newest first."""
    for module in (searched, quote_lists):
        monkeypatch.setattr(module, "COMMON", common)
    monkeypatch.setattr(searched, "A_PAGE", a_page)
    if not_made:
        stop_offering(Family.objects.get(), timezone.localdate())
    part = Part.objects.get(quoteline__issue__quote__customer__name="open").part_number
    told = {
        quote.pk: f"{quote.customer.name} {part}".lower()
        for quote in Quote.objects.select_related("customer")
    }
    stands = {quote.pk: state_of(quote.issues.first()).word for quote in Quote.objects.all()}
    for scrap in ("open", "zebra", part, part[:3], f"{part} open", f"{part[:3]} {part[-3:]}"):
        for word in STATES:
            found = quotes_asked_for(QuotesFind({"q": scrap, "stands": word}).said)
            held = {
                pk for pk, said in told.items() if all(one in said for one in scrap.lower().split())
            }
            wanted = {pk for pk in held if stands[pk] == word}
            assert {quote.pk for quote in found.every()} == wanted, (scrap, word)
            assert_first_are_first(found)


def test_none_that_nobody_can_accept_is_said_to_lapse_soon(given_up):
    """The first page says until when a quote holds: of these none holds any more."""
    Issue.objects.filter(quote__customer__name="open").update(valid_until=timezone.localdate())
    assert not quotes_lapsing().exists()


def test_what_holds_until_today_lapses_soon():
    Issue.objects.filter(quote__customer__name="open").update(valid_until=timezone.localdate())
    assert [issue.quote.customer.name for issue in quotes_lapsing()] == ["open"]
