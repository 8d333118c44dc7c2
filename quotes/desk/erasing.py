"""Erases people while the books stay: one customer, one request, what is older than the shop keeps it.

What goes and what stays is said in `quotes.erased`. Orders and their log are erased in
`ordering.events.erasing`, which calls this inside its own transaction.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from django.db import transaction
from django.db.models import Exists, F, OuterRef, Q, QuerySet
from django.utils import timezone

from quotes import worklist
from quotes.desk.holding import hold, hold_one
from quotes.erased import (
    ERASED,
    ERASED_CUSTOMER,
    NOWHERE,
    Scrub,
    answer_without_words,
    document_without_person,
    opening_name,
    sheet_without_words,
)
from quotes.links import hash_of, new_nonce, token_of
from quotes.lists.personal import everyone_in, requests_of, words_of
from quotes.models import (
    Acceptance,
    ChangeAsked,
    Customer,
    Enquiry,
    Issue,
    Letter,
    Link,
    Opening,
    Quote,
    QuoteLine,
    Request,
    Schedule,
    Special,
    SpecialEvent,
)

# Rows a transaction: a fifth of a second, measured.
AT_ONCE = 500


def hold_customer(pk: int) -> Customer:
    """A customer, held with their requests and what they accepted. Inside a transaction."""
    customer = Customer.objects.get(pk=pk)
    hold(Request.objects.filter(pk__in=requests_of(customer).values("pk")))
    hold(Quote.objects.filter(customer=customer))
    hold(Acceptance.objects.filter(quote__customer=customer))
    return hold_one(Customer.objects.filter(pk=pk))


def forget_customer(customer: Customer) -> Scrub:
    """Erase what quotes know of a customer; how to take their words out of what stays elsewhere.

    Inside a transaction of the caller's.
    """
    scrub = Scrub(words_of(customer))
    asked = list(requests_of(customer))
    for issue in Issue.objects.filter(quote__customer=customer):
        _issue(issue, scrub)
    Quote.objects.filter(customer=customer).update(lost_because="")
    for request in asked:
        forget_request(request, scrub)
    # Known by their phone alone until now: an older copy may hold these calls, and not the customer.
    Request.objects.filter(pk__in=[request.pk for request in asked]).update(customer=customer)
    for contact in customer.contacts.exclude(email=""):
        Schedule.objects.filter(email__iexact=contact.email).delete()
    _letters(Letter.objects.filter(issue__quote__customer=customer))
    _head(customer)
    return scrub


def _head(customer: Customer) -> None:
    for contact in customer.contacts.all():
        contact.delete()
    customer.addresses.update(label="", street="", postcode="")
    customer.merges.update(gone={"name": ERASED_CUSTOMER})
    everyone_in(customer).update(name=ERASED_CUSTOMER, note="", scraps="")


def _issue(issue: Issue, scrub: Scrub) -> None:
    issue.note = ""
    if issue.document is not None:
        issue.document = document_without_person(issue.document, scrub)
    issue.save(update_fields=["note", "document"])
    for line in QuoteLine.objects.filter(issue=issue).exclude(description=""):
        line.description = scrub.text(line.description)
        line.save(update_fields=["description"])
    for accepted in Acceptance.objects.filter(issue=issue):
        accepted.name, accepted.their_number = ERASED_CUSTOMER, ""
        accepted.ticked = [opening_name(name) for name in accepted.ticked]
        # Nobody waits for an order or an answer of ours any more.
        accepted.waits = False
        accepted.save(update_fields=["name", "their_number", "ticked", "waits"])
    asked = ChangeAsked.objects.filter(issue=issue)
    asked.update(name=ERASED_CUSTOMER, measures=[], words="", answer="")
    asked.filter(done_at=None).update(done_by=ERASED, done_at=timezone.now())
    nonce = new_nonce()
    Link.objects.filter(issue=issue).update(
        nonce=nonce, token_hash=hash_of(token_of(nonce)), expires_at=timezone.now()
    )


def forget_request(request: Request, scrub: Scrub | None = None) -> None:
    """Erase a request's words; its number, dates, parts and sizes stay. Inside a transaction."""
    scrub = scrub or Scrub([request.caller, request.phone, request.email])
    Schedule.objects.filter(request=request).delete()
    # A page that shows its words still, and saves as somebody types, finds that it was changed meanwhile.
    Request.objects.filter(pk=request.pk).update(
        caller=ERASED_CUSTOMER, phone="", phone_digits="", email="", note="", scraps="",
        version=F("version") + 1, changed_by="an erasure",
    )  # fmt: skip
    for opening in Opening.objects.filter(request=request):
        opening.label, opening.said, opening.sash, opening.cannot = "", {}, {}, []
        opening.override_reason = ERASED if opening.override_reason else ""
        opening.answer = answer_without_words(opening.answer)
        opening.save()
    for special in Special.objects.filter(request=request):
        _special(special, scrub)
    worklist.note(request.pk)


@transaction.atomic
def forget_call(pk: int, since: datetime) -> bool:
    """Erase a request of somebody erased, if this is the one that was written down at that moment; False: not, or
    it was before."""
    meant = Request.objects.filter(pk=pk, created_at=since).exclude(caller=ERASED_CUSTOMER)
    for request in hold(meant):
        forget_request(request)
        return True
    return False


def _special(special: Special, scrub: Scrub) -> None:
    special.words, special.said = "", {}
    special.save(update_fields=["words", "said"])
    SpecialEvent.objects.filter(special=special).exclude(why="").update(why=ERASED)
    for enquiry in Enquiry.objects.filter(special=special):
        asked = {**enquiry.document, "words": ""}
        if asked.get("opening"):
            asked["opening"] = sheet_without_words(asked["opening"], scrub)
        enquiry.document, enquiry.remarks = asked, scrub.text(enquiry.remarks)
        enquiry.save(update_fields=["document", "remarks"])
        for asked in enquiry.questions.all():
            asked.words, asked.answer = scrub.text(asked.words), scrub.text(asked.answer)
            asked.save(update_fields=["words", "answer"])
    _letters(Letter.objects.filter(special=special))


def _letters(letters: QuerySet[Letter]) -> None:
    """What was sent stays counted, without its words; what waits to be sent never goes."""
    letters.filter(sent_at=None).delete()
    for letter in letters:
        letter.cause = f"{ERASED} {letter.pk}"
        letter.to = letter.enquiry.to if letter.enquiry else NOWHERE
        letter.subject, letter.body, letter.last_error = ERASED, "", ""
        letter.save()


def forget_old(before: datetime) -> dict[str, int]:
    """Erase what the shop need not keep from before a moment; how many of what.

    Requests that never became a quote go whole, or, where a factory was asked, lose their words;
    uploaded schedules go; mails keep their date and subject.
    """
    asked, quoted = (
        Exists(model.objects.filter(request=OuterRef("pk"))) for model in (Special, Quote)
    )
    old = Request.objects.filter(~quoted, changed_at__lt=before)
    gone = Q(sent_at__lt=before) | Q(dropped_at__lt=before)
    return {
        "requests": by_batches(old.filter(~asked | ~Q(caller=ERASED_CUSTOMER)), _forget_requests),
        "schedules": by_batches(Schedule.objects.filter(created_at__lt=before), _delete, 20),
        "letters": by_batches(
            Letter.objects.filter(gone).exclude(body=""), lambda rows: rows.update(body="")
        ),
    }


def by_batches(due: QuerySet, act: Callable[[QuerySet], int], most: int | None = None) -> int:
    """Do something to all rows that are due, so many in a transaction, as others are waiting to write; the sum of
    what each says. Which are still due is asked anew of each batch; what breaks off is done the next time.
    """
    keys = list(due.order_by("pk").values_list("pk", flat=True))
    done, at_once = 0, most or AT_ONCE
    for start in range(0, len(keys), at_once):
        with transaction.atomic():
            done += act(due.filter(pk__in=keys[start : start + at_once]))
    return done


def _forget_requests(due: QuerySet[Request]) -> int:
    # Held, and asked again by that: somebody may have taken one up a moment ago.
    rows = hold(due)
    asked = set(Special.objects.filter(request__in=rows).values_list("request", flat=True))
    for request in rows:
        if request.pk in asked:
            forget_request(request)
    gone = [request.pk for request in rows if request.pk not in asked]
    Opening.objects.filter(request__in=gone).delete()
    Request.objects.filter(pk__in=gone).delete()
    return len(rows)


def _delete(schedules: QuerySet[Schedule]) -> int:
    return schedules.only("pk").delete()[1].get(Schedule._meta.label, 0)
