"""How an issue of a quote stands, in words for customer and desk, and as a question to the database."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal, get_args

from django.db.models import Exists, F, OuterRef, Q, QuerySet, Subquery
from django.utils import timezone

from quotes.days import long_date
from quotes.models import SENT_BACK, Acceptance, ChangeAsked, Issue, Quote, QuoteLine, Request
from quotes.searched import one_by_one
from sizing.models import Family
from sizing.people import name_of
from sizing.standing import KEYS, TODAY, Place, StandingQuestion
from sizing.wording import N_
from sizing.wording import gettext as _

Word = Literal["draft", "open", "back at the desk", "accepted", "lapsed", "replaced"]
STATES: tuple[Word, ...] = get_args(Word)
WORDS: dict[Word, str] = {
    "draft": N_("Draft"),
    "open": N_("Open"),
    "back at the desk": N_("Back at the desk"),
    "accepted": N_("Accepted"),
    "lapsed": N_("Lapsed"),
    "replaced": N_("Replaced"),
}


@dataclass(frozen=True)
class State:
    """How an issue stands; `sentence` is for customer and desk alike. `asked` is what sent it back."""

    word: Word
    sentence: str
    asked: Any = None

    @property
    def can_be_accepted(self) -> bool:
        """Whether the customer's page has the button."""
        return self.word == "open"

    @property
    def heading(self) -> str:
        """The word as a sentence of its own; empty where the sentence begins with it anyway."""
        word = _(WORDS[self.word])
        begun = self.sentence.casefold().startswith(word.casefold())
        return "" if begun else f"{word}."


@dataclass(frozen=True)
class Facts:
    """What the state of an issue follows from. `issue` and `all`, the quote's, have pk, number, issued_at
    and valid_until; `asked`, the change to the newest issue that is out which nobody has dealt with, has name,
    at and taken_back_by."""

    issue: Any
    all: Sequence[Any]
    accepted: Acceptance | None
    asked: Any


def state_of(issue: Issue, on: date | None = None) -> State:
    """The truth about an issue on a day (today)."""
    accepted = getattr(issue.quote, "acceptance", None)
    every, asked = issue.quote.issues.all(), None
    out = issue if issue.issued_at else _newest_out(every)
    if out and not accepted:
        asked = next((one for one in out.changes_asked.all() if one.sends_back), None)
    facts, day = Facts(issue, every, accepted, asked), on or timezone.localdate()
    state = stands(facts, day)
    return _given_up([issue.pk], day).get(issue.pk, state) if state.can_be_accepted else state


def has_newer_out() -> Exists:
    """Whether a later issue of the same quote has gone out, asked of each issue: it takes this one's place."""
    newer = Issue.objects.filter(quote=OuterRef("quote"), number__gt=OuterRef("number"))
    return Exists(newer.filter(issued_at__isnull=False))


def can_be_accepted(day: date | Place) -> QuerySet[Issue]:
    """The open issues of a day, as `state_of` has them, as a question to the database."""
    return (
        Issue.objects.filter(
            ~has_newer_out(),
            issued_at__isnull=False,
            quote__is_accepted=False,
            valid_until__gte=day,
        )
        .exclude(pk__in=ChangeAsked.objects.filter(SENT_BACK).values("issue"))
        .exclude(Exists(holding_given_up(day).filter(issue=OuterRef("pk"))))
    )


def holding_given_up(day: date | Place) -> QuerySet[QuoteLine]:
    """Lines with a part that its factory makes no more: nobody may accept an issue of them."""
    return QuoteLine.objects.filter(part__revision__family__not_made_from__lte=day)


_GIVEN_UP = StandingQuestion(
    holding_given_up(TODAY)
    .filter(issue__pk__among=KEYS)
    .order_by("-position", "-pk")
    .values_list("issue", "part__part_number", "part__revision__family__not_made_from")
)


def _given_up(issues: Collection[int], day: date) -> dict[int, State]:
    """{issue's key: how it stands} of those open by all else that hold a part which is made no more."""
    words = _("{part} has not been made since {day}.")
    return {
        issue: State("lapsed", words.format(part=part, day=long_date(since)))
        for issue, part, since in _GIVEN_UP(keys=issues, today=day)
    }


def stands(facts: Facts, day: date) -> State:
    """How it stands on that day, what happened first."""
    issue, accepted, asked = facts.issue, facts.accepted, facts.asked
    until = issue.valid_until
    if accepted and accepted.issue_id == issue.pk:
        return State("accepted", f"{acceptance_in_words(accepted)}.")
    if issue.issued_at is None:
        return State("draft", _draft_in_words(facts, day))
    if accepted:
        number = next(one.number for one in facts.all if one.pk == accepted.issue_id)
        how = _rest_in_words(accepted)
        return State("replaced", _("Issue {number} was {how}.").format(number=number, how=how))
    newest = max(one.number for one in facts.all if one.issued_at)
    if newest > issue.number:
        return State("replaced", _("Replaced by issue {number}.").format(number=newest))
    if asked:
        when = timezone.localtime(asked.at)
        if asked.taken_back_by:
            words = _("We took it back on {day} at {time}; a new issue follows.")
            said = words.format(day=long_date(when), time=f"{when:%H:%M}")
            return State("back at the desk", said, asked)
        return State(
            "back at the desk",
            _("{name} asked for changes on {day} at {time}; we answer or send a new issue.").format(
                name=asked.name, day=long_date(when), time=f"{when:%H:%M}"
            ),
            asked,
        )
    if until and day > until:
        return State("lapsed", _("It held until {day}.").format(day=long_date(until)))
    return State("open", _("Holds until {day}.").format(day=long_date(until)))


def _draft_in_words(facts: Facts, day: date) -> str:
    """What a draft is, and what the customer has meanwhile: that is what counts until the draft is issued."""
    if facts.accepted:
        number = next(one.number for one in facts.all if one.pk == facts.accepted.issue_id)
        how = _rest_in_words(facts.accepted)
        return _("Not issued yet; issue {number} was {how}.").format(number=number, how=how)
    out = _newest_out(facts.all)
    if out is None or out.valid_until is None:
        return _("Not issued yet.")
    if facts.asked:
        words = _("Not issued yet; {name} asked for changes to issue {number} on {day}.")
        if facts.asked.taken_back_by:
            words = _("Not issued yet; issue {number} was taken back on {day}.")
        when = long_date(timezone.localtime(facts.asked.at))
        return words.format(name=facts.asked.name, number=out.number, day=when)
    words = _("Not issued yet; issue {number} is out and holds until {day}.")
    if day > out.valid_until:
        words = _("Not issued yet; issue {number} is out, it held until {day}.")
    return words.format(number=out.number, day=long_date(out.valid_until))


def _newest_out(issues: Iterable[Any]) -> Any:
    """The last of them that the customer has; None of drafts."""
    return max((one for one in issues if one.issued_at), key=lambda one: one.number, default=None)


def questions_asked(issue: Issue) -> list[tuple[str, ChangeAsked]]:
    """What the customer asked and what of it has an answer of ours in words, each with a sentence for them on when."""
    waits = _("{name} asked us something on {day} at {time}; our answer is still to come.")
    answered = _("{name} wrote to us on {day} at {time}; our answer stands below.")
    found = []
    for asked in issue.changes_asked.all():
        if asked.taken_back_by or not (
            asked.answer or (asked.is_question and asked.done_at is None)
        ):
            continue
        words = answered if asked.answer else waits
        when = timezone.localtime(asked.at)
        sentence = words.format(name=asked.name, day=long_date(when), time=f"{when:%H:%M}")
        found.append((sentence, asked))
    return found


def acceptance_in_words(accepted: Acceptance) -> str:
    """Accepted by Jo Marsh, by phone, on 3 March 2026 at 14:05 (taken by ann)"""
    words = _rest_in_words(accepted)
    return words[0].upper() + words[1:]


def _rest_in_words(accepted: Acceptance) -> str:
    when = timezone.localtime(accepted.at)
    by = name_of(accepted.taken_by)
    words = _("accepted by {name}, {how}, on {day} at {time}").format(
        name=accepted.name,
        how=Acceptance.How(accepted.how).label,
        day=long_date(when),
        time=f"{when:%H:%M}",
    )
    if accepted.their_number:
        words += _(", under the order number {number}").format(number=accepted.their_number)
    return words + (" " + _("(taken by {clerk})").format(clerk=by) if by else "")


_ISSUES = StandingQuestion(
    Issue.objects.filter(quote__pk__among=KEYS)
    .order_by("-number")
    .values_list("quote", "pk", "number", "issued_at", "valid_until", named=True)
)
_CHANGES = StandingQuestion(
    ChangeAsked.objects.filter(SENT_BACK, issue__pk__among=KEYS)
    .order_by("-pk")
    .values_list("issue", "name", "at", "taken_back_by", named=True)
)


def with_states(quotes: list[Quote]) -> list[Quote]:
    """The quotes with their last issue (number, issued_at, valid_until) and how that stands, as `last`, `state`."""
    issues: dict[int, list[Any]] = defaultdict(list)
    for row in _ISSUES(keys=[quote.pk for quote in quotes]):
        issues[row.quote].append(row)
    accepted = {quote.pk: getattr(quote, "acceptance", None) for quote in quotes}
    out = {key: _newest_out(rows) for key, rows in issues.items() if not accepted[key]}
    still = [newest.pk for newest in out.values() if newest]
    asked = {one.issue: one for one in _CHANGES(keys=still)}
    day = timezone.localdate()
    for quote in quotes:
        mine = issues[quote.pk]
        quote.last = mine[0]
        newest = out.get(quote.pk)
        facts = Facts(mine[0], mine, accepted[quote.pk], newest and asked.get(newest.pk))
        quote.state = stands(facts, day)
    held = [quote for quote in quotes if quote.state.can_be_accepted]
    gone = _given_up([quote.last.pk for quote in held], day)
    for quote in held:
        quote.state = gone.get(quote.last.pk, quote.state)
    return quotes


def quotes_of(request: Request) -> list[Quote]:
    """The quotes made from a request, the newest first, each with how its last issue stands."""
    return with_states(list(request.quotes.select_related("acceptance").order_by("-pk")))


def standing_so(
    found: QuerySet[Quote], word: Word, day: date | Place, given_up: bool
) -> QuerySet[Quote]:
    """`state_of` of the last issue as a question to the database; a test holds the two together. `given_up`: whether
    on that day any family is made no more; where none is, no quote's lines are looked at.

    What can stand so is few and found by an index first; of those the whole question is asked.
    """
    issues = Issue.objects.order_by()
    can_stand_so = {
        "draft": issues.filter(issued_at=None),
        "open": issues.filter(Q(valid_until__gte=day) | Q(valid_until=None)),
        "back at the desk": issues.filter(
            pk__in=ChangeAsked.objects.filter(SENT_BACK).values("issue")
        ),
        "replaced": issues.filter(number__gt=1),
    }
    if word in can_stand_so:
        found = found.filter(pk__in=can_stand_so[word].values("quote"))
    if word in ("open", "back at the desk", "lapsed"):
        # First: most of a shop's quotes are accepted, and nothing else is asked of those.
        found = found.filter(is_accepted=False)
    last = Issue.objects.filter(quote=OuterRef("pk")).order_by("-number")
    found = found.annotate(
        last_pk=Subquery(last.values("pk")[:1]),
        last_issued=Subquery(last.values("issued_at")[:1]),
        last_until=Subquery(last.values("valid_until")[:1]),
    )
    if word == "accepted":
        last_accepted = Acceptance.objects.filter(issue=OuterRef("last_pk"))
        return found.filter(one_by_one(last_accepted, "quote"), is_accepted=True)
    if word == "draft":
        return found.filter(last_issued=None).exclude(acceptance__issue=F("last_pk"))
    issued = found.filter(last_issued__isnull=False)
    if word == "replaced":
        return issued.filter(acceptance__isnull=False).exclude(acceptance__issue=F("last_pk"))
    sent_back = ChangeAsked.objects.filter(SENT_BACK)
    asked = Exists(sent_back.filter(issue=OuterRef("last_pk")))
    if word == "back at the desk":
        return issued.filter(asked)
    # Few quotes have anything asked that waits: of no other is it looked at which issue is the last.
    none_asked = ~Q(pk__in=sent_back.values("issue__quote")) | ~asked
    lapsed = Q(last_until__lt=day)
    if given_up:
        lapsed |= Exists(holding_given_up(day).filter(issue=OuterRef("last_pk")))
    return issued.filter(none_asked, lapsed if word == "lapsed" else ~lapsed)


def any_given_up(day: date) -> bool:
    """Whether on that day any family is made no more."""
    return Family.objects.filter(not_made_from__lte=day).exists()
