"""Writes letters about quotes and sends them: one cause, one letter, never lost, never doubled."""

from __future__ import annotations

from datetime import timedelta
from email.utils import make_msgid

from django.conf import settings
from django.core.mail import EmailMessage
from django.db import transaction
from django.utils import timezone
from django_tasks import task

from quotes.desk.quoting import QuoteError
from quotes.documents.content import Document, from_plain, show_amount
from quotes.documents.lettering import clean
from quotes.documents.pdf import quote_pdf
from quotes.documents.workbook import quote_workbook
from quotes.links import address_of
from quotes.models import Issue, Letter

MOST_ATTEMPTS = 8
# A worker that has not come back by then is gone; whether its letter went is not known.
GONE_AFTER = timedelta(minutes=15)
_FIRST_WAIT = timedelta(minutes=1)


@transaction.atomic
def send_quote(issue_pk: int, to: str, by: str) -> Letter:
    """Write the letter that brings an issue to a customer; a worker sends it. Raises QuoteError.

    The same issue to the same address is one letter, however often the button is pressed.
    """
    issue = Issue.objects.select_related("quote__customer").get(pk=issue_pk)
    if issue.issued_at is None:
        raise QuoteError(f"{issue} is still a draft: issue it first.")
    document = from_plain(issue.document)
    letter, fresh = Letter.objects.get_or_create(
        cause=f"issue {issue.pk} to {to.casefold()}"[:200],
        defaults={
            "issue": issue,
            "to": to,
            "subject": clean(f"{document.title}, from {document.shop[0]}")[:255],
            "body": _body(document, address_of(issue)),
            "with_papers": True,
            "by": by,
            "message_id": make_msgid(
                domain=settings.DEFAULT_FROM_EMAIL.rpartition("@")[2].strip(" >")
            ),
        },
    )
    if fresh:
        send_letter.enqueue(letter.pk)
    return letter


@transaction.atomic
def send_again(letter_pk: int) -> None:
    """Try a letter again that has failed or whose worker is gone; one that was sent stays sent."""
    letter = Letter.objects.select_for_update().get(pk=letter_pk)
    if letter.sent_at is None:
        letter.attempts, letter.taken_at = 0, None
        letter.save(update_fields=["attempts", "taken_at"])
        send_letter.enqueue(letter.pk)


def _body(document: Document, link: str) -> str:
    total = show_amount(document.sums.total, document.currency, code=True)
    return "\n".join(
        [
            f"Dear {clean(document.customer[0])},",
            "",
            f"here is {document.title.lower()}, for {total} in all.",
            "",
            "Please check each opening's measures and accept on this page:",
            link,
            "",
            f"It holds until {document.valid_until:%d %B %Y}. The parts are made to order from these "
            "measures and cannot be returned.",
            "The quote is attached as a PDF and as a workbook.",
            "",
            *document.shop,
        ]
    )


@task()
def send_letter(letter_pk: int) -> None:
    """Send one letter, unless it was sent or another worker is at it; try later if mail fails."""
    letter = _take(letter_pk)
    if letter is None:
        return
    try:
        _message(letter).send()
    except Exception as error:
        _failed(letter, error)
    else:
        Letter.objects.filter(pk=letter.pk).update(sent_at=timezone.now(), last_error="")


@transaction.atomic
def _take(letter_pk: int) -> Letter | None:
    letter = Letter.objects.select_for_update().get(pk=letter_pk)
    if letter.sent_at or letter.taken_at or letter.attempts >= MOST_ATTEMPTS:
        return None
    letter.taken_at = timezone.now()
    letter.attempts += 1
    letter.save(update_fields=["taken_at", "attempts"])
    return letter


@transaction.atomic
def _failed(letter: Letter, error: Exception) -> None:
    """Keep what went wrong and come back later, each time after twice the wait."""
    Letter.objects.filter(pk=letter.pk).update(
        taken_at=None, last_error=clean(f"{type(error).__name__}: {error}")[:500]
    )
    if letter.attempts < MOST_ATTEMPTS:
        later = timezone.now() + _FIRST_WAIT * 2 ** (letter.attempts - 1)
        send_letter.using(run_after=later).enqueue(letter.pk)


def _message(letter: Letter) -> EmailMessage:
    message = EmailMessage(
        letter.subject,
        letter.body,
        to=[letter.to],
        # The same through every attempt, so that a receiver knows a second copy for what it is.
        headers={"Message-ID": letter.message_id},
    )
    if letter.with_papers:
        document, link = from_plain(letter.issue.document), address_of(letter.issue)
        name = f"quote-{document.number}-{document.issue}"
        message.attach(f"{name}.pdf", quote_pdf(document, link), "application/pdf")
        kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
        message.attach(f"{name}.xlsx", quote_workbook(document, link), kind)
    return message


def letter_state(letter: Letter) -> str:
    """How a letter stands, for the desk."""
    if letter.sent_at:
        return f"sent {timezone.localtime(letter.sent_at):%d %b %Y, %H:%M}"
    if letter.taken_at and letter.taken_at < timezone.now() - GONE_AFTER:
        return "not known: the sending broke off"
    if letter.attempts >= MOST_ATTEMPTS:
        return f"given up: {letter.last_error}"
    if letter.last_error:
        return f"to be tried again: {letter.last_error}"
    return "waiting to be sent"
