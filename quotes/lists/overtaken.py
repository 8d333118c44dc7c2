"""Which letters have ceased to be so while they waited to be sent: read when a worker takes one up.

A letter is known by its cause (`desk.posting`). What tells of something that happened, such as an
acceptance, stays so; what asks somebody for something does not.
"""

from __future__ import annotations

from django.utils import timezone

from quotes.lists.issue_states import state_of
from quotes.lists.letters import Standing, letter_of, standing
from quotes.models import ChangeAsked, Invitation, Letter

# How the cause of a letter begins that answers what the customer asked; what was asked has its key behind it.
ANSWER = "answer to changes "


def overtaken(letter: Letter) -> str:
    """Why a letter need not go any more, in words for the desk; empty: it goes."""
    if letter.issue and letter.cause.endswith(" lapses"):
        return _of_lapsing(letter)
    if letter.issue and letter.cause.startswith("issue "):
        return moved_on(letter)
    if asked := answered_by(letter):
        # The desk's own words are worth having however the quote stands by now.
        return "" if asked.answer else moved_on(letter)
    if letter.enquiry and letter.cause.startswith("enquiry "):
        return _of_enquiry(letter)
    if letter.cause.startswith("invitation "):
        found = Invitation.objects.filter(pk=letter.cause.removeprefix("invitation ")).first()
        return "" if found and found.is_open else "the invitation was used, withdrawn or ran out"
    return ""


def _of_lapsing(letter: Letter) -> str:
    """A reminder is for who can accept and does not wait for us."""
    state = state_of(letter.issue)
    if not state.can_be_accepted:
        return state.sentence
    waits = letter.issue.changes_asked.filter(done_at=None).exists()
    return "what the customer asked waits for our answer" if waits else ""


def answered_by(letter: Letter) -> ChangeAsked | None:
    """What the customer had asked, or the last of it, that a letter answers; None of any other letter."""
    if not (letter.issue_id and letter.cause.startswith(ANSWER)):
        return None
    asked = ChangeAsked.objects.select_related("issue__quote")
    return asked.filter(pk=letter.cause.removeprefix(ANSWER)).first()


def moved_on(letter: Letter) -> str:
    """What became of an issue after its letter was written: who sends one on that was accepted before wants to."""
    issue, written = letter.issue, letter.created_at
    state = state_of(issue)
    accepted = getattr(issue.quote, "acceptance", None)
    since = (
        (accepted is not None and accepted.at > written)
        or issue.quote.issues.filter(number__gt=issue.number, issued_at__gt=written).exists()
        or (state.asked is not None and state.asked.taken_back_by and state.asked.at > written)
        or (state.word == "lapsed" and timezone.localdate(written) <= issue.valid_until)
    )
    return state.sentence if since else ""


def _of_enquiry(letter: Letter) -> str:
    """A question or its reminder is for a factory that still has something of it to answer."""
    if not any(standing(one) is Standing.OPEN for one in letter_of(letter.enquiry)):
        return "nothing of it waits for the factory's answer any more"
    asks = letter.enquiry.questions.filter(done_at=None).exists()
    return "the factory's question waits for our answer" if asks else ""
