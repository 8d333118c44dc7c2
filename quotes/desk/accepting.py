"""Writes what customers answer: one acceptance a quote, or changes asked for. One transaction each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.db import IntegrityError, transaction

from quotes import worklist
from quotes.desk.drafts import QuoteError
from quotes.desk.holding import hold_one, refuse_erased
from quotes.desk.issuing import settle_changes
from quotes.desk.posting import answer_asked, confirm_acceptance, tell_taken_back
from quotes.documents.content import from_plain
from quotes.lists.issue_states import state_of
from quotes.lists.issues import moved_prices
from quotes.models import Acceptance, ChangeAsked, Issue, Quote
from sizing.box_length import too_long

# Of one issue, that wait for the desk's answer.
MOST_QUESTIONS = 5
# Of why nothing came of a quote.
MOST_LOST = 100


class NotOpenError(Exception):
    """The issue cannot be accepted or changed any more; the sentence is the truth of what happened."""


class TooManyError(Exception):
    """As many questions wait for the desk as one link may leave there."""


class TicksError(ValueError):
    """Openings whose measures were not ticked: `missing` names them."""

    def __init__(self, missing: Sequence[str]) -> None:
        super().__init__(f"Tick the measures of {', '.join(missing)}, or say what is different.")
        self.missing = list(missing)


def accept(
    issue_pk: int,
    *,
    name: str,
    ticked: Sequence[str],
    their_number: str = "",
    how: Acceptance.How = Acceptance.How.LINK,
    taken_by: str = "",
) -> Acceptance:
    """Accept an issue for its quote, once for ever.

    `ticked` names the openings whose measures the customer confirmed: all of them, or TicksError.
    Of two at the same instant one is stored and the other gets NotOpenError with who was first.
    """
    try:
        with transaction.atomic():
            issue = _open_issue(issue_pk)
            document = from_plain(issue.document)
            wanted = [sheet.name for sheet in document.openings]
            missing = [opening for opening in wanted if opening not in ticked]
            if missing:
                raise TicksError(missing)
            accepted = Acceptance.objects.create(
                quote=issue.quote,
                issue=issue,
                name=name,
                their_number=their_number,
                how=how,
                taken_by=taken_by,
                ticked=wanted,
                moved_prices=moved_prices(issue),
            )
            Quote.objects.filter(pk=issue.quote_id).update(is_accepted=True)
            if issue.quote.request_id:
                worklist.note(issue.quote.request_id)
            confirm_acceptance(accepted)
            return accepted
    except IntegrityError:
        # The database refused a second acceptance: say who was first.
        raise NotOpenError(state_of(Issue.objects.get(pk=issue_pk)).sentence) from None


@transaction.atomic
def say_why_lost(quote_pk: int, why: str) -> None:
    """Keep why nothing came of a quote; said again it takes the place of what was said before. Raises QuoteError."""
    if trouble := too_long(why, MOST_LOST, "Why nothing came of it"):
        raise QuoteError(trouble)
    quote = hold_one(Quote.objects.filter(pk=quote_pk))
    refuse_erased(quote.customer_id, QuoteError)
    Quote.objects.filter(pk=quote_pk).update(lost_because=why.strip())


def ordered(accepted: Acceptance) -> None:
    """An order was made of it: it waits no more. Inside the transaction that makes the order."""
    Acceptance.objects.filter(pk=accepted.pk).update(waits=False)


@transaction.atomic
def ask_for_changes(
    issue_pk: int,
    *,
    name: str,
    measures: Mapping[str, str],
    words: str,
    is_question: bool = False,
) -> ChangeAsked:
    """Send an issue back to the desk with what is different: {opening's name: words}, and a remark.

    A question leaves it as it is, open or lapsed, so that it may come again: the same words twice are one
    question, and of many that wait one more is refused with TooManyError.
    """
    issue = _open_issue(issue_pk, or_lapsed=is_question)
    said = [{"opening": opening, "words": text} for opening, text in measures.items() if text]
    if is_question:
        waiting = list(issue.changes_asked.filter(done_at=None))
        for one in waiting:
            if (one.name, one.measures, one.words) == (name, said, words):
                return one
        if len(waiting) >= MOST_QUESTIONS:
            raise TooManyError
    return ChangeAsked.objects.create(
        issue=issue, name=name, measures=said, words=words, is_question=is_question
    )


@transaction.atomic
def take_back(issue_pk: int, by: str, why: str) -> ChangeAsked:
    """Nobody can accept the issue any more: something in it is wrong. `why` is for the customer, who is written to
    if they got it by mail. A next issue takes its place, or `let_stand` gives it back.

    Raises NotOpenError, also where it was accepted a moment before.
    """
    issue = _open_issue(issue_pk)
    asked = ChangeAsked.objects.create(
        issue=issue, name=issue.quote.customer.name, words=why.strip(), taken_back_by=by
    )
    tell_taken_back(asked)
    return asked


@transaction.atomic
def let_stand(
    quote_pk: int, by: str, words: str = "", only: int | None = None
) -> list[ChangeAsked]:
    """Answer what the customer asked or sent back, or the one of it with the key `only`: the issue stands as
    it is and can be accepted, unless it has lapsed meanwhile.

    Who got it by mail is written to, with the desk's words if there are any. Returns what was answered.
    """
    quote = Quote.objects.select_for_update().get(pk=quote_pk)
    asked = settle_changes(quote, by, words.strip(), only)
    if asked:
        answer_asked(asked, by)
    return asked


def _open_issue(issue_pk: int, *, or_lapsed: bool = False) -> Issue:
    """The issue with its quote locked, so that what is read here stays true until it is written."""
    issue = Issue.objects.select_related("quote").get(pk=issue_pk)
    quote = Quote.objects.select_for_update().get(pk=issue.quote_id)
    refuse_erased(quote.customer_id, NotOpenError)
    state = state_of(issue)
    if not (state.can_be_accepted or (or_lapsed and state.word == "lapsed")):
        raise NotOpenError(state.sentence)
    return issue
