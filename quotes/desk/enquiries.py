"""Writes specials and enquiries: flagged, asked, reminded, answered, closed. One transaction each.

Every change leaves an event: who, when, why. Pricing and quoting an answer is `desk.special_prices`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.db import transaction
from django.utils import timezone
from django_tasks import task
from moneyed import Money

from quotes.days import long_date, short_date
from quotes.desk.posting import post
from quotes.desk.special_letters import note, tell_priced
from quotes.documents.compose import describe_part, sheet_to_make, shop_lines
from quotes.enquiries import (
    DAYS_TO_ANSWER,
    LINK_LASTS_DAYS,
    REASONS,
    Asked,
    next_reminder,
    special_reason,
    workday_after,
)
from quotes.enquiry_letters import enquiry_letter, reminder_letter
from quotes.links import hash_of, new_nonce, token_of
from quotes.models import Enquiry, Opening, Request, Special
from quotes.post import LINK
from quotes.worklist import as_said
from sizing.lengths import Unit
from sizing.models import Factory, Part
from sizing.workdays import Span

State = Special.State
ASKABLE = (State.FLAGGED, State.ASKED, State.ANSWERED, State.REFUSED)
ANSWERABLE = (State.ASKED, State.ANSWERED, State.REFUSED)


class EnquiryError(ValueError):
    """What can't be done with a special: one sentence, what and how to mend it."""


@dataclass(frozen=True)
class FactoryAnswer:
    """What a factory's contact says. Without `can_be_made` only `name` and `remarks` count."""

    name: str
    can_be_made: bool
    unit_cost: Money | None = None
    weeks_min: int | None = None
    weeks_max: int | None = None
    valid_until: date | None = None
    remarks: str = ""


@transaction.atomic
def flag(opening_pk: int, *, by: str, words: str = "") -> Special:
    """The opening's open special, made if there is none. A clerk's own flag needs its reason in words."""
    opening = Opening.objects.select_related("request", "revision__family").get(pk=opening_pk)
    # The request is what everybody locks, so that two presses make one special.
    Request.objects.select_for_update().get(pk=opening.request_id)
    special = opening.specials.filter(state__in=Special.OPEN).first()
    if special:
        return special
    overridden = opening.override_part_id is not None
    reason = special_reason(opening.answer, overridden) or "flagged"
    if reason == "flagged" and not words.strip():
        raise EnquiryError(
            "The table has an answer for this opening: say why it needs a special quote all the same."
        )
    special = Special.objects.create(
        request=opening.request,
        opening=opening,
        family=opening.revision.family,
        revision=opening.revision,
        reason=reason,
        words=words.strip(),
        quantity=opening.quantity,
        said=as_said(opening),
        flagged_by=by,
    )
    answer = opening.answer.get("text", "").removeprefix("Special quote: ")
    note(special, by, "flagged", words.strip() or answer)
    return special


def locked(special_pk: int) -> Special:
    return (
        Special.objects.select_for_update(of=("self",))
        .select_related("request", "opening", "revision__factory", "revision__family", "part")
        .get(pk=special_pk)
    )


@transaction.atomic
def ask_about(opening_pk: int, *, by: str, words: str = "") -> Enquiry:
    """One press: the opening is flagged if need be and the factory is asked."""
    return ask_factory(flag(opening_pk, by=by, words=words).pk, by=by, words=words)


@transaction.atomic
def ask_lead_time(
    request_pk: int, part_pk: int, quantity: int, *, by: str, words: str = ""
) -> Enquiry:
    """Ask the factory when this many of a part would leave it; the answer goes into the request."""
    request = Request.objects.select_for_update().get(pk=request_pk)
    part = Part.objects.select_related("revision__family").get(pk=part_pk)
    same = request.specials.filter(
        reason="lead_time", part=part, quantity=quantity, state__in=Special.OPEN
    ).first()
    if same and same.enquiry:
        return same.enquiry
    special = Special.objects.create(
        request=request,
        family=part.revision.family,
        revision=part.revision,
        part=part,
        reason="lead_time",
        words=words.strip(),
        quantity=quantity,
        flagged_by=by,
    )
    note(special, by, "flagged", f"lead time of {quantity} x {part.part_number}")
    return ask_factory(special.pk, by=by, words=words)


@transaction.atomic
def ask_factory(special_pk: int, *, by: str, words: str = "") -> Enquiry:
    """Send an enquiry: a new letter, a new link; the link of an earlier one closes."""
    special = locked(special_pk)
    factory = special.revision.factory
    if special.state not in ASKABLE:
        raise EnquiryError(
            f"{special} is {special.get_state_display()}: it can't be asked about now."
        )
    if not factory.email:
        raise EnquiryError(
            f"{factory.name} has no e-mail for enquiries: type it on the page of the factory first."
        )
    if special.opening:
        special.said, special.quantity = as_said(special.opening), special.opening.quantity
    now = timezone.now()
    special.enquiries.filter(closed_at=None).update(closed_at=now)
    asked = _asked(special, factory, words.strip() or special.words)
    nonce = new_nonce()
    enquiry = Enquiry.objects.create(
        special=special,
        factory=factory,
        to=factory.email,
        document=asked.to_plain(),
        due_on=asked.answer_by,
        nonce=nonce,
        token_hash=hash_of(token_of(nonce)),
        expires_at=_end_of(asked.answer_by) + timedelta(days=LINK_LASTS_DAYS),
        sent_by=by,
    )
    subject, body = enquiry_letter(asked, LINK)
    _to_factory(enquiry, "asked", subject, body, by)
    special.state = State.ASKED
    special.save()
    note(special, by, "factory asked", f"{factory.name}, answer by {long_date(asked.answer_by)}")
    tell_priced(special.request_id, by)
    _remind_later(enquiry)
    return enquiry


def _asked(special: Special, factory: Factory, words: str) -> Asked:
    today = timezone.localdate()
    opening = special.opening
    unit = Unit(special.revision.unit)
    place = f"Opening {opening.position + 1} of request {special.request_id}" if opening else ""
    return Asked(
        number=f"{special.pk:05d}-{special.enquiries.count() + 1}",
        sent_on=today,
        answer_by=workday_after(today, DAYS_TO_ANSWER, *_days_of(factory)),
        shop=shop_lines(),
        factory=factory.name,
        contact=factory.contact,
        wants_price=special.wants_price,
        currency=special.revision.currency,
        quantity=special.quantity,
        unit=special.revision.sold_as,
        why=REASONS[special.reason] if special.wants_price and special.reason != "flagged" else "",
        words=words,
        part=f"{special.part.part_number}, {describe_part(special.part)}" if special.part else "",
        opening=sheet_to_make(opening, place, unit) if opening else None,
    )


def _days_of(factory: Factory) -> tuple[str, str, tuple[Span, ...]]:
    """Its country, region and the days it is shut: what its working days are counted by."""
    shut = tuple(factory.published_shutdowns.values_list("first_day", "last_day"))
    return factory.country, factory.region, shut


def _end_of(day: date) -> datetime:
    return timezone.make_aware(datetime.combine(day, time.max))


def _to_factory(enquiry: Enquiry, cause: str, subject: str, body: str, by: str) -> None:
    post(
        cause=f"enquiry {enquiry.pk} {cause}",
        to=enquiry.to,
        subject=subject,
        body=body,
        by=by,
        special=enquiry.special,
        enquiry=enquiry,
        with_papers=True,
    )


def _remind_later(enquiry: Enquiry) -> None:
    factory = enquiry.factory
    day = next_reminder(enquiry.due_on, enquiry.reminders, *_days_of(factory))
    if day:
        morning = timezone.make_aware(datetime.combine(day, time(8)))
        remind_factory.using(run_after=morning).enqueue(enquiry.pk)


@transaction.atomic
def remind(enquiry_pk: int, on: date | None = None) -> bool:
    """Send the reminder that is due on a day (today), if one is and no answer has come meanwhile."""
    enquiry = (
        Enquiry.objects.select_for_update(of=("self",))
        .select_related("special", "factory")
        .get(pk=enquiry_pk)
    )
    factory, day = enquiry.factory, on or timezone.localdate()
    waiting = enquiry.closed_at is None and enquiry.answered_at is None
    due = next_reminder(enquiry.due_on, enquiry.reminders, *_days_of(factory))
    if not waiting or enquiry.special.state != State.ASKED or due is None or day < due:
        return False
    enquiry.reminders, enquiry.reminded_on = enquiry.reminders + 1, day
    enquiry.save(update_fields=["reminders", "reminded_on"])
    subject, body = reminder_letter(enquiry.asked(), LINK)
    _to_factory(enquiry, f"reminder {enquiry.reminders}", subject, body, "the desk")
    note(
        enquiry.special,
        "the desk",
        "factory reminded",
        f"no answer since {long_date(enquiry.due_on)}",
    )
    _remind_later(enquiry)
    return True


@task()
def remind_factory(enquiry_pk: int) -> None:
    """For the worker, in the morning of the day on which a reminder falls due."""
    remind(enquiry_pk)


@transaction.atomic
def take_answer(enquiry_pk: int, said: FactoryAnswer) -> Special:
    """The factory's answer; sent again before the desk has priced it, the later one counts."""
    enquiry = Enquiry.objects.select_related("factory").get(pk=enquiry_pk)
    special = locked(enquiry.special_id)
    enquiry.refresh_from_db()
    if enquiry.closed_at or special.state not in ANSWERABLE:
        raise EnquiryError(
            "The desk has settled this enquiry meanwhile; please call about changes."
        )
    enquiry.answered_at, enquiry.answered_by = timezone.now(), said.name
    enquiry.can_be_made, enquiry.remarks = said.can_be_made, said.remarks
    enquiry.unit_cost = said.unit_cost if said.can_be_made else None
    for name in ("weeks_min", "weeks_max", "valid_until"):
        setattr(enquiry, name, getattr(said, name) if said.can_be_made else None)
    by = f"{said.name}, {enquiry.factory.name}"
    if not said.can_be_made:
        special.state, what = State.REFUSED, "factory can't make it"
    elif special.wants_price:
        special.state, what = State.ANSWERED, "factory answered"
    else:
        special.state, what = State.TOLD, "factory answered"
        _into_request(special, enquiry, by)
        enquiry.closed_at = timezone.now()
    enquiry.save()
    special.save()
    note(special, by, what, _answer_in_words(enquiry))
    tell_priced(special.request_id, by)
    return special


def _answer_in_words(enquiry: Enquiry) -> str:
    words = [
        f"{enquiry.cost_words} each" if enquiry.unit_cost else "",
        enquiry.lead_words,
        f"holds until {long_date(enquiry.valid_until)}" if enquiry.valid_until else "",
        enquiry.remarks,
    ]
    return "; ".join(word for word in words if word)


def _into_request(special: Special, enquiry: Enquiry, by: str) -> None:
    """A lead time is read where the caller's numbers are: in the request's note."""
    request = Request.objects.select_for_update().get(pk=special.request_id)
    what = f"{special.quantity} x {special.part.part_number}" if special.part else str(special)
    line = f"{short_date(timezone.localdate())}, {by}: {what}, {_answer_in_words(enquiry)}"
    request.note = f"{request.note}\n{line}".strip()
    request.version += 1
    request.changed_by = by[:150]
    request.save(update_fields=["note", "version", "changed_by", "changed_at"])


@transaction.atomic
def close(special_pk: int, *, by: str, why: str) -> Special:
    """Put a special aside for good, with the reason; its link closes."""
    special = locked(special_pk)
    if not why.strip():
        raise EnquiryError("Say why it is put aside: the reason is kept with it.")
    if special.state not in Special.OPEN:
        raise EnquiryError(f"{special} is {special.get_state_display()} already.")
    special.enquiries.filter(closed_at=None).update(closed_at=timezone.now())
    special.state = State.CLOSED
    special.save(update_fields=["state"])
    note(special, by, "closed", why.strip())
    tell_priced(special.request_id, by)
    return special
