"""Reads specials: the manager's list by age, what is overdue, and the margin rule in force."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db.models import IntegerField, Q, QuerySet
from django.utils import timezone

from quotes.documents.naming import name_of
from quotes.enquiries import MOST_REMINDERS, REASONS, Margin, special_reason
from quotes.lists.letters import ANSWERABLE, questions_waiting
from quotes.models import (
    Enquiry,
    Issue,
    Letter,
    LineOpening,
    MarginRule,
    Opening,
    QuoteLine,
    Special,
)
from quotes.scraps import plain
from quotes.searched import numbered
from quotes.worklist import READ, as_said, changed_since, outdated_by, specials_of, unasked
from sizing.lists import between
from sizing.lookup import family_key
from sizing.models import Factory, Family
from sizing.standing import KEYS, Place, StandingQuestion

State = Special.State
# What a list of specials is narrowed to besides a state: asked, and the day of the answer is over.
OVERDUE = "overdue"


@dataclass(frozen=True)
class Waiting:
    """One line of the manager's list: a special, or an opening that needs one and is not asked yet."""

    special: Special | None
    opening: Opening | None
    family: Family
    reason: str
    since: datetime
    caller: str
    request: int
    state: str
    # Which factory makes it, and whether it is still to be asked: never was, or about another opening.
    factory: int
    to_ask: bool
    due_on: date | None = None
    overdue: bool = False
    to_call: bool = False
    # The letter that it went in, by its first enquiry.
    letter: int | None = None
    # How many of its request are to be asked of its factory, itself among them.
    together: int = 0

    @property
    def is_with_factory(self) -> bool:
        return self.special is not None and self.special.state == State.ASKED

    @property
    def days(self) -> int:
        return (timezone.localdate() - timezone.localtime(self.since).date()).days

    @property
    def name(self) -> str:
        if self.opening is None:
            return str(self.special.part or "") if self.special else ""
        return name_of(self.opening)

    @property
    def reason_words(self) -> str:
        return REASONS[self.reason]


def waiting(on: date | None = None, request: int | None = None) -> list[Waiting]:
    """Everything that is not settled, of one request or of all, the oldest first."""
    day = on or timezone.localdate()
    which, given = (_ALL, {}) if request is None else (_OF_ONE, {"request": request})
    asking = set(_ASKING())
    specials = list(which.open(**given))
    asked_of: dict[int, list[Enquiry]] = defaultdict(list)
    for enquiry in _ENQUIRIES(keys=[special.pk for special in specials]):
        asked_of[enquiry.special_id].append(enquiry)
    found = [_of_special(special, asked_of[special.pk], day, asking) for special in specials]
    found += [_of_opening(opening, State.FLAGGED.label) for opening in which.unasked(**given)]
    found += [
        _of_opening(opening, "measures changed since it was priced")
        for opening in outdated_by(which.specials(**given), lambda keys: _OPENINGS(keys=keys))
    ]
    asked = Counter((line.request, line.factory) for line in found if line.to_ask)
    return sorted(
        (
            replace(one, together=asked[one.request, one.factory] if one.to_ask else 0)
            for one in found
        ),
        key=lambda line: line.since,
    )


# With the fields that a line and its asking read: three rows with all that they join took longer to ask for
# than the rest of the page.
_SAID = ("position", "label", "said", "cannot", "sash", "finish", "quantity")
_OPEN = (
    Special.objects.filter(state__in=Special.OPEN)
    .select_related("request", "opening", "family", "revision", "part")
    .only(
        "reason", "said", "state", "created_at", "request__caller", "family__name", "family__code",
        "revision__factory", "part__part_number", *(f"opening__{name}" for name in _SAID),
    )
)  # fmt: skip
_ENQUIRIES = StandingQuestion(
    Enquiry.objects.filter(special__pk__among=KEYS).only(
        "special", "asked_with", "due_on", "closed_at", "answered_at", "reminders"
    )
)
_ASKING = StandingQuestion(questions_waiting().values_list("enquiry", flat=True))


class _Which:
    """The questions about what waits: of all requests, or of one."""

    def __init__(self, of: Q) -> None:
        # By key, so that no database looks for them by another index first.
        keys = Opening.objects.filter(of, waits=True).order_by().values("pk")
        self.open = StandingQuestion(_OPEN.filter(of))
        self.unasked = StandingQuestion(unasked(_READ.filter(pk__in=keys)))
        self.specials = StandingQuestion(specials_of(keys))


_READ = Opening.objects.select_related("request", "family", "revision").only(*READ)
_OPENINGS = StandingQuestion(_READ.filter(pk__among=KEYS).order_by())
_ALL, _OF_ONE = _Which(Q()), _Which(Q(request=Place("request", IntegerField())))


@dataclass(frozen=True)
class OfRequest:
    """A request's page: what of it waits, in the order of its openings, and whom to ask about how many."""

    lines: list[Waiting]
    to_ask: list[tuple[Factory, int]]

    @property
    def counts(self) -> list[tuple[str, int]]:
        """(how it stands, how many)"""
        return list(Counter(line.state for line in self.lines).items())


def of_request(request_pk: int) -> OfRequest:
    lines = waiting(request=request_pk)
    lines.sort(key=lambda line: line.opening.position if line.opening else 0)
    counts = {line.factory: line.together for line in lines if line.to_ask}
    factories = Factory.objects.filter(pk__in=counts).order_by("name") if counts else ()
    return OfRequest(lines, [(factory, counts[factory.pk]) for factory in factories])


def answers_of(issue: Issue) -> dict[int, Enquiry]:
    """{special line's key: the factory's answer that it rests on}. A next issue takes over what was answered
    for the one before, to which the special still points."""
    rows = Enquiry.objects.filter(
        special__line__issue__quote=issue.quote_id,
        special__line__issue__number__lte=issue.number,
        weeks_max__isnull=False,
    )
    answers = {one.special.opening_id: one for one in rows.select_related("special").order_by("pk")}
    lines = LineOpening.objects.filter(line__issue=issue, line__kind=QuoteLine.Kind.SPECIAL)
    pairs = lines.values_list("line", "opening")
    return {line: answers[opening] for line, opening in pairs if opening in answers}


def as_answered(line: QuoteLine | None) -> str:
    """What its factory answered for a special's line, for the order that goes there; "" of anything else."""
    if line is None or line.kind != QuoteLine.Kind.SPECIAL:
        return ""
    answer = answers_of(line.issue).get(line.pk)
    if not (answer and answer.unit_cost):
        return ""
    return f"as you answered {answer}: {answer.cost_words} per {line.sold_as}, {answer.lead_words}"


def others_to_ask(request_pk: int, factory_pk: int, opening_pk: int | None) -> int:
    """How many other openings of a request are to be asked of the same factory."""
    return sum(
        line.to_ask and line.factory == factory_pk and line.opening.pk != opening_pk
        for line in waiting(request=request_pk)
        if line.opening
    )


def letters_about(special: Special) -> QuerySet[Letter]:
    """Mails about a special, those in which it was asked about with others among them."""
    first = [enquiry.first_pk for enquiry in special.enquiries.all()]
    return Letter.objects.filter(Q(special=special) | Q(enquiry__in=first)).order_by("pk")


def price_is_outdated(opening: Opening, unit_price: Decimal | None) -> bool:
    """Whether this price is what a factory's answer came to while the opening was another one."""
    quoted = [special for special in opening.specials.all() if special.state == State.QUOTED]
    special = max(quoted, key=lambda one: one.pk, default=None)
    return (
        special is not None
        and special.unit_price == unit_price
        and as_said(opening) != special.said
    )


def _of_special(
    special: Special, enquiries: Sequence[Enquiry], day: date, asking: Collection[int]
) -> Waiting:
    """`enquiries` are its own, in their order; `asking` the letters that the factory has a question about."""
    enquiry = enquiries[-1] if enquiries else None
    is_asked = special.state == State.ASKED and enquiry is not None
    asks = is_asked and enquiry.first_pk in asking
    late = is_asked and not asks and is_overdue(enquiry, day)
    state, to_ask = _stands(special)
    if asks and not to_ask:
        state = "the factory has a question"
    return Waiting(
        special=special,
        opening=special.opening,
        family=special.family,
        reason=special.reason,
        since=special.created_at,
        caller=special.request.caller,
        request=special.request_id,
        state=state,
        factory=special.revision.factory_id,
        to_ask=to_ask,
        due_on=enquiry.due_on if enquiry and special.state == State.ASKED else None,
        overdue=late,
        to_call=late and enquiry.reminders >= MOST_REMINDERS,
        letter=enquiry.first_pk if enquiry else None,
    )


def _stands(special: Special) -> tuple[str, bool]:
    """How an open special stands, and whether the factory is still to be asked about it."""
    if special.opening is None:
        gone = special.part_id is None
        return "its opening was taken out" if gone else State(special.state).label, False
    if special.state in ANSWERABLE and changed_since(special):
        return "measures changed since it was asked", True
    return State(special.state).label, special.state == State.FLAGGED


def _of_opening(opening: Opening, state: str) -> Waiting:
    return Waiting(
        special=None,
        opening=opening,
        family=opening.family,
        reason=special_reason(opening.answer, False) or "low_certainty",
        since=opening.request.created_at,
        caller=opening.request.caller,
        request=opening.request_id,
        state=state,
        factory=opening.revision.factory_id,
        to_ask=True,
    )


def is_overdue(enquiry: Enquiry, on: date | None = None) -> bool:
    """Whether the factory should have answered by now and has not."""
    day = on or timezone.localdate()
    return enquiry.closed_at is None and enquiry.answered_at is None and day > enquiry.due_on


def waiting_narrowed(said: Mapping[str, Any]) -> list[Waiting]:
    """Of what is not settled, what has all the words, stands so, is of the family, waits since these days."""
    every = waiting()
    return [one for one in every if _is_asked_for(one, said)] if any(said.values()) else every


def _is_asked_for(one: Waiting, said: Mapping[str, Any]) -> bool:
    known = plain(f"{one.caller} {one.name} {one.family.name} {one.request} {one.special or ''}")
    state = one.special.state if one.special else State.FLAGGED
    day = timezone.localtime(one.since).date()
    return (
        all(word in known for word in plain(said["q"]).split())
        and (said["state"] in ("", state) or (said["state"] == OVERDUE and one.overdue))
        and said["family"] in ("", one.family.code)
        and (said["since"] or day) <= day <= (said["until"] or day)
    )


def settled(said: Mapping[str, Any]) -> QuerySet[Special]:
    """Specials that are done with and asked for, the latest first."""
    done = Special.objects.exclude(state__in=Special.OPEN)
    for word in said["q"].split():
        found = Q(request__caller__icontains=word) | Q(opening__label__icontains=word)
        found |= Q(family__name__icontains=word) | Q(part__part_number__icontains=word)
        for key in numbered(word):
            found |= Q(request=key) | Q(pk=key)
        done = done.filter(found)
    if said["state"]:
        done = done.filter(state=said["state"])
    if said["family"]:
        done = done.filter(family=family_key(said["family"]))
    return done.filter(between("created_at", said["since"], said["until"])).order_by("-pk")


def margin_on(family: Family, currency: str, day: date) -> Margin | None:
    """The rule in force on a day: the family's own, else the one for all; the latest of either."""
    rules = MarginRule.objects.filter(currency=currency, in_force_from__lte=day)
    for chosen in (Q(family=family), Q(family=None)):
        rule = rules.filter(chosen).order_by("-in_force_from", "-pk").first()
        if rule:
            return Margin(rule.percent, rule.check_over)
    return None
