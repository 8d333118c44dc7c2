"""Writes what a factory asks the desk before it answers a letter, and what the desk says to it."""

from __future__ import annotations

from django.conf import settings
from django.db import transaction
from django.urls import reverse
from django.utils import timezone

from quotes.desk.enquiries import remind_later
from quotes.desk.posting import QUESTION, post
from quotes.desk.special_letters import note_all
from quotes.desk.specials import EnquiryError, locked
from quotes.letters.desk import question_letter
from quotes.letters.enquiry import reply_letter
from quotes.lists.letters import (
    TAKES_ANSWERS,
    Standing,
    letter_of,
    questions_waiting,
    standing,
    thing_of,
    why_closed,
)
from quotes.lists.shop import desk_address
from quotes.models import Enquiry, FactoryQuestion, Request, Special
from quotes.post import LINK

# Of one letter, that wait for the desk's answer.
MOST_QUESTIONS = 5
ENOUGH = "Your questions so far wait for our answer: please call us."


@transaction.atomic
def take_question(of: Enquiry, name: str, words: str) -> str:
    """Keep what a factory's contact asks about a letter and write to the desk; why not, if it can't be asked.

    The same question sent twice is one.
    """
    Request.objects.select_for_update(of=("self",)).get(specials__enquiries=of.pk)
    letter = letter_of(of)
    first = letter[0]
    if not any(standing(enquiry) in TAKES_ANSWERS for enquiry in letter):
        return why_closed(Standing.SETTLED, first.asked().shop[0], thing_of(letter))
    waiting = list(first.questions.filter(done_at=None))
    if any((one.name, one.words) == (name, words) for one in waiting):
        return ""
    if len(waiting) >= MOST_QUESTIONS:
        return ENOUGH
    asked = FactoryQuestion.objects.create(enquiry=first, name=name, words=words)
    by = f"{name}, {first.factory.name}"
    note_all(((enquiry.special, "factory asks", words) for enquiry in letter), by)
    _tell_desk(asked, by)
    return ""


def _tell_desk(asked: FactoryQuestion, by: str) -> None:
    """To whoever asked the factory, or to the shop; without an address the watch list has it alone."""
    first = asked.enquiry
    to = desk_address(first.sent_by)
    if to:
        page = settings.SITE_URL + reverse("special", args=[first.special_id])
        subject, body = question_letter(first.asking(), asked.name, asked.words, page)
        cause = f"{QUESTION}{asked.pk}"
        post(cause=cause, to=to, subject=subject, body=body, by=by[:150], special=first.special)


@transaction.atomic
def answer_question(special_pk: int, question_pk: int | None, *, by: str, words: str) -> Special:
    """Answer what was asked in a special's letter, by mail if there are words; the factory is reminded again."""
    special, words = locked(special_pk), words.strip()
    letters = {enquiry.first_pk for enquiry in special.enquiries.all()}
    asked = questions_waiting().filter(pk=question_pk, enquiry__in=letters).first()
    if asked is None:
        raise EnquiryError("This question waits for no answer any more.")
    asked.answer, asked.done_by, asked.done_at = words, by, timezone.now()
    asked.save(update_fields=["answer", "done_by", "done_at"])
    letter = letter_of(asked.enquiry)
    first = letter[0]
    if words:
        subject, body = reply_letter(first.asking(), asked.name, asked.words, words, LINK)
        post(
            cause=f"answer to question {asked.pk}", to=first.to, subject=subject, body=body, by=by,
            special=first.special, enquiry=first,
        )  # fmt: skip
    note_all(((one.special, "question answered", words or "not by mail") for one in letter), by)
    sent = max(enquiry.reminders for enquiry in letter)
    remind_later(first, sent, max(first.due_on, timezone.localdate()))
    return special
