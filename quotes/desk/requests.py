"""Writes requests and their openings. One transaction each; the answer is worked out as it is stored."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import F, ProtectedError, QuerySet
from django.utils import timezone

from quotes import worklist
from quotes.answering import Answered, answer_opening, as_kept
from quotes.desk.holding import refuse_erased
from quotes.desk.people import is_unnamed, known_customer, name_customer
from quotes.lists.requests import digits_of, said_of
from quotes.lists.shop import home_country
from quotes.models import Opening, Request
from quotes.said import SaidOpening, SaidRequest, differences
from quotes.scraps import scraps_of_call
from sizing import lookup
from sizing.models import Part, Revision
from sizing.near import meant, nearly
from sizing.people import name_of

MOST_OPENINGS = 40
ASIDE = 1000


class StaleError(Exception):
    """Somebody else wrote the request meanwhile: `stored` is what stands there now."""

    def __init__(self, stored: Request) -> None:
        super().__init__(
            f"{stored} was changed by {name_of(stored.changed_by) or 'somebody'} meanwhile."
        )
        self.stored = stored


class RequestError(ValueError):
    """What cannot be stored: `place` is the opening it is about (None: the request), `field` its field."""

    def __init__(self, sentence: str, place: int | None = None, field: str = "") -> None:
        super().__init__(sentence)
        self.place = place
        self.field = field


def save_request(
    said: SaidRequest,
    *,
    by: str,
    pk: int | None = None,
    version: int = 0,
    page: UUID | None = None,
    by_itself: bool = False,
) -> Request:
    """Store a request as said and answer each opening; returns it with its new version.

    `version` is the one the writer had before them. Sending the same words again changes nothing.
    `page` marks the page a new request was typed into, so that a page sent twice makes one request.
    `by_itself`: nobody pressed anything, the page saves as one types.
    Raises StaleError, RequestError, Request.DoesNotExist.
    """
    try:
        return _save(said, by, pk, version, page, by_itself)
    except IntegrityError:
        # The same new page came twice at once; the other one was a moment faster.
        if pk is None and page and Request.objects.filter(page=page).exists():
            return _save(said, by, pk, version, page, by_itself)
        raise


@transaction.atomic
def _save(
    said: SaidRequest, by: str, pk: int | None, version: int, page: UUID | None, by_itself: bool
) -> Request:
    request = _present(pk, page)
    if request is None:
        request = Request(taken_by=by, page=page, version=0, looked_up=True)
    elif _stands_so(request, said, by_itself):
        return request
    else:
        refuse_erased(request.customer_id, RequestError)
        if request.version != version:
            raise StaleError(request)
    if len(said.openings) > MOST_OPENINGS:
        raise RequestError(
            f"A request holds up to {MOST_OPENINGS} openings: take this one out and begin another request.",
            MOST_OPENINGS,
            "label",
        )
    request.note, request.needed_by = said.note, said.needed_by
    labels = [opening.label for opening in said.openings]
    note_caller(request, said.caller, said.phone, said.email, labels)
    request.looked_up &= by_itself and not (said.caller or said.phone or said.email or said.note)
    _speak(request, said.language)
    # Whoever goes on with it takes it up again.
    request.aside_at, request.aside_by = None, ""
    request.version += 1
    request.changed_by = by
    request.save()
    _store_openings(request, said.openings, by)
    worklist.note(request.pk)
    return request


def note_caller(
    request: Request, caller: str, phone: str, email: str, labels: Iterable[str]
) -> None:
    """Who calls, and so whose call it is as far as anybody can tell; of a request that is held, and saved by whoever
    calls this."""
    unnamed = is_unnamed(request)
    request.caller, request.phone, request.email = caller, phone, email
    note_scraps(request, labels)
    if unnamed:
        name_customer(request)
    elif not request.customer_chosen_by:
        request.customer = known_customer(request)


def note_scraps(request: Request, labels: Iterable[str]) -> None:
    """What it is found by, as its caller, phone, e-mail, note and its windows' labels are now; whoever changes one of
    them calls it."""
    request.phone_digits = digits_of(request.phone)
    request.scraps = scraps_of_call(
        request.caller, request.phone, request.email, request.note, home_country(), labels
    )


def labels_of(request: Request) -> QuerySet[Opening, str]:
    """What its windows are called, as they are kept."""
    return request.openings.order_by("position").values_list("label", flat=True)


def _stands_so(request: Request, said: SaidRequest, by_itself: bool) -> bool:
    """Whether nothing of it is new: no word, no newer table asked for, no press that makes it a call."""
    renewed = any(opening.renew for opening in said.openings)
    pressed = request.looked_up and not by_itself
    return not (renewed or pressed or differences(said_of(request), said))


@transaction.atomic
def put_aside(pk: int, by: str) -> None:
    """Nothing came of this call: it is none to finish any more. Written again, it is one again."""
    Request.objects.filter(pk=pk).update(aside_at=timezone.now(), aside_by=by)
    worklist.note(pk)


@transaction.atomic
def take_up(pk: int) -> None:
    """It is a call to finish after all."""
    Request.objects.filter(pk=pk).update(aside_at=None, aside_by="", looked_up=False)
    worklist.note(pk)


def _speak(request: Request, language: str) -> None:
    """What the caller reads, newly said: kept with the customer, too, where it is known who that is."""
    if language == request.language:
        return
    request.language = language
    if language and request.customer:
        request.customer.language = language
        request.customer.save(update_fields=["language", "changed_at"])


def _present(pk: int | None, page: UUID | None) -> Request | None:
    rows = Request.objects.select_for_update()
    if pk is not None:
        return rows.get(pk=pk)
    return rows.filter(page=page).first() if page else None


def _store_openings(request: Request, said: tuple[SaidOpening, ...], by: str) -> None:
    stored = {o.pk: o for o in request.openings.select_related("revision", "family")}
    kept = {o.key for o in said}
    for gone in [o for key, o in stored.items() if key not in kept]:
        try:
            gone.delete()
        except ProtectedError:
            raise RequestError(
                f"{gone} stands in a quote and cannot be left out: change the quote first."
            ) from None
    # Places are unique, so the old ones step aside before anything takes its new one.
    request.openings.update(position=F("position") + ASIDE)
    for place, words in enumerate(said):
        opening = stored.get(words.key) or Opening(request=request)
        opening.position = place
        _fill(opening, words, place, by)
        opening.save()


def _fill(opening: Opening, said: SaidOpening, place: int, by: str) -> None:
    revision = revision_for(said, opening.revision)
    answered = answer_opening(said, revision)
    opening.label, opening.finish, opening.quantity = said.label, said.finish, said.quantity
    opening.family, opening.revision = revision.family, revision
    opening.said, opening.sash = dict(said.measures), dict(said.sash)
    opening.cannot = sorted(said.cannot)
    opening.answer = as_kept(answered)
    opening.part = _part(answered)
    _override(opening, said, place, by)


def revision_for(said: SaidOpening, before: Revision | None) -> Revision:
    """The table that answered before, as long as the family is the same and no newer one is asked for."""
    if before is not None and before.family.code == said.family and not said.renew:
        return before
    return lookup.in_force(said.family)


def _part(answered: Answered) -> Part | None:
    part = answered.answer.part if answered.answer else None
    if part is None or not part.part_number:
        return None
    return answered.revision.parts.get(part_number=part.part_number)


def _override(opening: Opening, said: SaidOpening, place: int, by: str) -> None:
    """The clerk's own choice with its reason; who chose is kept as long as the choice is the same."""
    if not said.override:
        opening.override_part, opening.override_reason, opening.override_by = None, "", ""
        return
    numbers = list(
        opening.revision.parts.exclude(part_number="").values_list("part_number", flat=True)
    )
    number = meant(said.override, numbers)
    part = opening.revision.parts.filter(part_number=number).first() if number else None
    if part is None:
        near = " or ".join(nearly(said.override, numbers))
        mend = f"is it {near}?" if near else "type one of its part numbers."
        raise RequestError(
            f"“{said.override}” is no part of {opening.revision.name}: {mend}",
            place,
            "override",
        )
    if not said.override_reason:
        raise RequestError(
            f"Say why {part.part_number} is chosen: the reason is kept with it.",
            place,
            "override_reason",
        )
    if (opening.override_part_id, opening.override_reason) != (part.pk, said.override_reason):
        opening.override_by = by
    opening.override_part, opening.override_reason = part, said.override_reason
