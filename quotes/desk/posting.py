"""Writes letters about quotes and sends them: one cause, one letter, never lost, never doubled."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from django.core.mail import EmailMultiAlternatives
from django.db import transaction
from django.utils import timezone
from django_tasks import task

from quotes.days import short_date
from quotes.desk.drafts import QuoteError
from quotes.desk.holding import hold_one, refuse_erased
from quotes.desk.people import note_written_to
from quotes.documents.content import from_plain
from quotes.documents.enquiry import enquiry_pdf
from quotes.documents.lettering import clean
from quotes.documents.quote_papers import papers_of
from quotes.letters.customer import (
    Said,
    Text,
    accepted_letter,
    answer_letter,
    lapsed_letter,
    quote_letter,
    stands_letter,
    taken_back_letter,
)
from quotes.letters.html import as_html
from quotes.links import address_of, factory_address, invitation_address
from quotes.lists.issue_states import acceptance_in_words, state_of
from quotes.lists.overtaken import ANSWER, answered_by, moved_on, overtaken
from quotes.lists.shop import now_read, sender, the_shop
from quotes.models import Acceptance, ChangeAsked, Invitation, Issue, Letter, Quote, Shop
from quotes.post import (
    LINK,
    WAITING,
    Overtaken,
    is_being_sent,
    new_message_id,
    send_due,
    wait_after,
)
from quotes.post import send as send_row
from sizing.wording import speaking

# How the cause of a letter begins that goes to somebody of the desk: a factory asks about a special, says of an order.
OF_THE_DESK = QUESTION, SAID_OF = "question ", "said of "


@transaction.atomic
def send_quote(issue_pk: int, to: str, by: str) -> Letter:
    """Write the letter that brings an issue to a customer; a worker sends it. Raises QuoteError.

    The same issue to the same address is one letter, however often the button is pressed.
    """
    quote = hold_one(Quote.objects.filter(issues=issue_pk))
    refuse_erased(quote.customer_id, QuoteError)
    issue = Issue.objects.select_related("quote__customer").get(pk=issue_pk)
    if issue.issued_at is None:
        raise QuoteError(f"{issue} is still a draft: issue it first.")
    document = from_plain(issue.document)
    with speaking(document.language):
        subject, body = quote_letter(document, LINK)
    letter = post(
        cause=f"issue {issue.pk} to {to.casefold()}",
        to=to,
        subject=subject,
        body=body,
        by=by,
        issue=issue,
        with_papers=True,
    )
    note_written_to(letter)
    return letter


def send_copy(letter: Letter, by: str) -> Letter:
    """The copy, word for word, of a letter about an issue that went but never arrived; one however often it is
    asked for."""
    return post(
        cause=f"copy of letter {letter.pk}",
        to=letter.to,
        subject=letter.subject,
        body=letter.body,
        by=by,
        issue=letter.issue,
        with_papers=letter.with_papers,
    )


def confirm_acceptance(accepted: Acceptance) -> Letter | None:
    """Tell whoever got the quote by mail that it is accepted, in the transaction that accepts it."""
    issue, sent = accepted.issue, accepted.issue.last_letter
    if sent is None:
        return None
    document = from_plain(issue.document)
    with speaking(document.language):
        subject, body = accepted_letter(document, acceptance_in_words(accepted), LINK)
    return post(
        cause=f"acceptance {accepted.pk}",
        to=sent.to,
        subject=subject,
        body=body,
        by=accepted.taken_by or sent.by,
        issue=issue,
        with_papers=True,
    )


def answer_asked(asked: Sequence[ChangeAsked], by: str) -> Letter | None:
    """Answer whoever asked about an issue that they got by mail: with how it stands now that it is answered.

    A question answered by other ways than words typed here has changed nothing to write about.
    """
    last = asked[-1]
    issue, sent = last.issue, last.issue.last_letter
    if sent is None or (last.is_question and not last.answer):
        return None
    subject, body = _answer(issue, asked)
    cause = f"{ANSWER}{last.pk}"
    return post(cause=cause, to=sent.to, subject=subject, body=body, by=by, issue=issue)


def _answer(issue: Issue, asked: Sequence[ChangeAsked]) -> Text:
    """What answers them, with how the issue stands by now."""
    theirs = (one for one in asked if not one.taken_back_by)
    said = Said([row for one in theirs for row in one.rows], asked[-1].answer)
    document = from_plain(issue.document)
    with speaking(document.language):
        state = state_of(issue)
        if state.can_be_accepted:
            return stands_letter(document, said, LINK)
        if state.word == "lapsed" and issue.valid_until < timezone.localdate():
            return lapsed_letter(document, said)
        return answer_letter(document, said, state.sentence)


def _answer_anew(letter: Letter) -> None:
    """An answer that waited says how the quote stands as it goes: accepted meanwhile, it is not to be accepted."""
    last = answered_by(letter)
    if last is None or not moved_on(letter):
        return
    asked = ChangeAsked.objects.filter(issue=last.issue_id, done_at=last.done_at).order_by("pk")
    letter.subject, letter.body = _answer(last.issue, list(asked))
    letter.subject = clean(letter.subject)[:255]
    letter.save(update_fields=["subject", "body"])


def tell_taken_back(asked: ChangeAsked) -> Letter | None:
    """Tell whoever got an issue by mail that it can't be accepted for now, in the transaction that takes it back."""
    issue, sent = asked.issue, asked.issue.last_letter
    if sent is None:
        return None
    document = from_plain(issue.document)
    with speaking(document.language):
        subject, body = taken_back_letter(document, asked.words, LINK)
    cause, by = f"taken back {asked.pk}", asked.taken_back_by
    return post(cause=cause, to=sent.to, subject=subject, body=body, by=by, issue=issue)


@transaction.atomic
def post(*, cause: str, to: str, subject: str, body: str, by: str, **about: Any) -> Letter:
    """Write a letter for a worker to send; one cause makes one letter, whoever asks again.

    `about` are the letter's other fields: the issue or special it is about, and its papers.
    """
    letter, fresh = Letter.objects.get_or_create(
        cause=cause[:200],
        defaults={
            "to": to,
            "subject": clean(subject)[:255],
            "body": body,
            "by": by,
            "message_id": new_message_id(),
            **about,
        },
    )
    if fresh:
        send_letter.enqueue(letter.pk)
    return letter


@transaction.atomic
def send_again(letter_pk: int) -> None:
    """Try a letter again that has failed or whose worker is gone; one that was sent, or is being sent, is left so."""
    letter = Letter.objects.select_for_update().get(pk=letter_pk)
    if letter.sent_at is None and not is_being_sent(letter):
        letter.attempts, letter.taken_at, letter.dropped_at = 0, None, None
        letter.save(update_fields=["attempts", "taken_at", "dropped_at"])
        send_letter.enqueue(letter.pk)


@task()
def send_letter(letter_pk: int) -> bool:
    """Send one letter unless it went or somebody is at it; True if it went (see `quotes.post`)."""
    return send_row(Letter.objects, letter_pk, _message)


def sweep() -> int:
    """Send every letter whose turn it is, whatever became of its task; how many went."""
    return send_due(Letter.objects.filter(WAITING), _message)


def _message(letter: Letter) -> EmailMultiAlternatives:
    """The mail itself: plain text with HTML beside it. Raises Overtaken."""
    if why := overtaken(letter):
        raise Overtaken(why)
    _answer_anew(letter)
    shop = the_shop()
    body = letter.body.replace(LINK, _link(letter)) if LINK in letter.body else letter.body
    message = EmailMultiAlternatives(
        letter.subject,
        body,
        sender(shop),
        to=[_to(letter, shop)],
        cc=letter.enquiry.factory.copies if letter.enquiry else None,
        # The desk's own address may be one that nobody reads.
        reply_to=[shop.email] if shop.email else None,
        # The same through every attempt, so that a receiver knows a second copy for what it is.
        headers={"Message-ID": letter.message_id},
    )
    message.attach_alternative(as_html(letter.subject, body, _language(letter)), "text/html")
    for name, content, kind in _papers(letter, shop) if letter.with_papers else ():
        message.attach(name, content, kind)
    return message


def _to(letter: Letter, shop: Shop) -> str:
    """Whom it goes to by now: what a factory asks or says, somebody of the desk."""
    of_the_desk = letter.cause.startswith(OF_THE_DESK)
    return (now_read(letter.to, shop) or letter.to) if of_the_desk else letter.to


def _language(letter: Letter) -> str:
    """What it is written in: factories and the desk read English."""
    if letter.issue:
        return from_plain(letter.issue.document).language
    # As `special_letters.write_customer` begins it; a factory's question goes to the desk.
    if letter.special and letter.cause.startswith("special "):
        return letter.special.request.speaks
    return "en"


def _link(letter: Letter) -> str:
    """The page that a letter leads to."""
    if letter.enquiry:
        return factory_address(letter.enquiry)
    if letter.issue:
        return address_of(letter.issue)
    # What `lists.shop.cause_of` has made of it.
    return invitation_address(Invitation.objects.get(pk=letter.cause.removeprefix("invitation ")))


def _papers(letter: Letter, shop: Shop) -> Iterator[tuple[str, bytes, str]]:
    """(file name, content, type) of what goes with a letter."""
    if letter.enquiry:
        link = factory_address(letter.enquiry)
        content = enquiry_pdf(letter.enquiry.asking(), link, shop.paper_size)
        yield f"{letter.enquiry.name}.pdf", content, "application/pdf"
    if letter.issue:
        yield from papers_of(letter.issue, shop=shop)


def letter_state(letter: Letter) -> str:
    """How a letter stands, for the desk."""
    if letter.sent_at:
        at = timezone.localtime(letter.sent_at)
        copies = f", copies to {', '.join(letter.copied_to)}" if letter.copied_to else ""
        return f"sent {short_date(at)}, {at:%H:%M}{copies}"
    if letter.dropped_at:
        return f"not sent: {letter.last_error}"
    if letter.last_error:
        return f"to be tried again: {letter.last_error}"
    if letter.taken_at and letter.taken_at < timezone.now() - wait_after(letter.attempts):
        return "to be tried again: the sending broke off"
    return "waiting to be sent"
