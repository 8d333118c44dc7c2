"""Writes quotes: lines from a request, drafts, issues, links. One transaction each.

An issued quote is frozen: everything here that changes one takes a draft and refuses the rest.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from quotes import worklist
from quotes.answering import Answered
from quotes.desk.holding import hold
from quotes.desk.people import customer_for
from quotes.documents.compose import answers_of, compose, name_of, special_words, spoken_against
from quotes.documents.content import FREIGHT, to_plain, with_openings_to_make
from quotes.links import hash_of, new_nonce, token_of
from quotes.lists.prices import parts_in_force
from quotes.lists.quotes import acceptance_in_words
from quotes.lists.specials import price_is_outdated
from quotes.models import (
    Acceptance,
    Address,
    ChangeAsked,
    Issue,
    LineOpening,
    Link,
    Opening,
    Quote,
    QuoteLine,
    Request,
    Special,
)
from sizing.models import Part
from sizing.wording import speaking

# How long a link still tells what happened after the quote has lapsed.
LINK_LASTS = timedelta(days=90)
# Openings left out of a quote that are told one by one.
MOST_LEFT_OUT = 5


class QuoteError(ValueError):
    """What cannot be done to a quote: one sentence, what and how to mend it."""


@transaction.atomic
def begin_quotes(request_pk: int, by: str) -> list[Quote]:
    """The draft quotes of a request, one for each currency its families are priced in.

    Pressed twice it finds the drafts of the first press, their lines taken anew from the request.
    Raises QuoteError if no opening is ready for a line.
    """
    request = Request.objects.select_for_update().get(pk=request_pk)
    ready = _ready(request)
    if not ready:
        raise QuoteError(
            "No opening of this request has a part or is a special yet: answer its questions first."
        )
    issues = []
    for currency in dict.fromkeys(opening.revision.currency for opening in ready):
        issue = _draft_of(request, currency) or _first_issue(request, currency, by)
        take_lines(issue)
        issues.append(issue)
    worklist.note(request.pk)
    return [issue.quote for issue in issues]


def _draft_of(request: Request, currency: str) -> Issue | None:
    """The draft of the request's quote that is still open, begun if need be."""
    quotes = request.quotes.filter(currency=currency, acceptance=None)
    quote = quotes.order_by("-pk").first()
    return next_issue(quote.pk) if quote else None


def _first_issue(request: Request, currency: str, by: str) -> Issue:
    customer = customer_for(request)
    if request.customer_id != customer.pk:
        Request.objects.filter(pk=request.pk).update(customer=customer)
    quote = Quote.objects.create(request=request, customer=customer, currency=currency, taken_by=by)
    ship_to = customer.addresses.first()
    return Issue.objects.create(quote=quote, number=1, ship_to=ship_to, pickup=ship_to is None)


def differs(issue: Issue) -> list[str]:
    """Where a draft's lines and the openings they are for differ: what issuing would refuse, then counts."""
    lines = _with_openings(issue)
    with speaking("en"):
        return [*_unsound(lines, answers_of(_openings(lines))), *_counted_otherwise(lines)]


def _with_openings(issue: Issue) -> list[QuoteLine]:
    return list(
        issue.lines.select_related("part__revision").prefetch_related(
            "openings__part__revision", "openings__override_part__revision", "openings__specials",
            "openings__revision__family",
        )
    )  # fmt: skip


def _openings(lines: Iterable[QuoteLine]) -> list[Opening]:
    return list({opening.pk: opening for line in lines for opening in line.openings.all()}.values())


def _counted_otherwise(lines: list[QuoteLine]) -> list[str]:
    found = []
    for number, line in enumerate(lines, 1):
        openings = line.openings.all()
        count = sum(opening.quantity for opening in openings)
        if openings and count != line.quantity:
            found.append(
                f"Line {number} counts {line.quantity}, the openings it is for {count} in the request."
            )
    return found


def left_out(request: Request) -> list[str]:
    """Openings that no line can be made of yet, each with what stands in its way; many in one sentence."""
    ready = {opening.pk for opening in _ready(request)}
    out = [opening for opening in request.openings.all() if opening.pk not in ready]
    if len(out) > MOST_LEFT_OUT:
        names = "; ".join(name_of(opening) for opening in out)
        return [f"{len(out)} openings are left out, their questions are not answered yet: {names}."]
    return [
        f"{name_of(opening)} is left out: {opening.answer.get('text') or 'not answered yet'}"
        for opening in out
    ]


def _ready(request: Request) -> list[Opening]:
    openings = request.openings.select_related(
        "revision__family", "part__revision", "override_part__revision"
    )
    return [o for o in openings.prefetch_related("specials") if o.part_to_order or o.is_special]


@transaction.atomic
def take_lines(issue: Issue) -> None:
    """Part and special lines anew from the request: the same part adds up, each special by itself.

    Lines made by hand stay; a special that already has its price keeps it. Raises QuoteError.
    """
    issue = draft(issue.pk)
    wanted = [o for o in _ready(issue.quote.request) if o.revision.currency == issue.quote.currency]
    specials = {opening.pk: opening for opening in wanted if opening.part_to_order is None}
    issue.lines.filter(kind=QuoteLine.Kind.PART).delete()
    by_hand, kept, gone = [], {}, []
    for line in issue.lines.prefetch_related("openings").order_by("pk"):
        opening = next(iter(line.openings.all()), None)
        if line.kind != QuoteLine.Kind.SPECIAL or opening is None:
            by_hand.append(line)
        elif opening.pk in specials:
            kept[opening.pk] = line
            _keep_special(line, specials[opening.pk])
        else:
            gone.append(line.pk)
    QuoteLine.objects.filter(pk__in=gone).delete()
    taken = _part_lines(issue, [opening for opening in wanted if opening.pk not in specials])
    for pk, opening in specials.items():
        taken.append((kept.get(pk) or _special_line(issue, opening), [opening]))
    _store(taken, by_hand)


# A line and the openings that it is for.
Taken = tuple[QuoteLine, list[Opening]]


def _part_lines(issue: Issue, openings: Iterable[Opening]) -> list[Taken]:
    groups: dict[tuple[int, str], list[Opening]] = {}
    for opening in openings:
        groups.setdefault(_which(opening.part_to_order), []).append(opening)
    chosen = [group[0].part_to_order for group in groups.values()]
    in_force = parts_in_force(chosen, timezone.localdate())
    return [
        (_part_line(issue, group, part, in_force.get(part.pk)), group)
        for part, group in zip(chosen, groups.values(), strict=True)
    ]


def _part_line(issue: Issue, openings: list[Opening], part: Part, now: Part | None) -> QuoteLine:
    price = now.price if now else None
    same = price is not None and price.currency.code == issue.quote.currency
    return QuoteLine(
        issue=issue,
        kind=QuoteLine.Kind.PART,
        part=now or part,
        quantity=sum(opening.quantity for opening in openings),
        sold_as=(now or part).revision.sold_as,
        unit_price=price.amount if same else None,
    )


def _keep_special(line: QuoteLine, opening: Opening) -> None:
    """A special's line as it is, without its price if the factory gave that for other measures."""
    line.quantity = opening.quantity
    if price_is_outdated(opening, line.unit_price):
        line.unit_price = line.factory_cost = line.factory_valid_until = line.margin_percent = None
        line.lead_words = ""


def _special_line(issue: Issue, opening: Opening) -> QuoteLine:
    return QuoteLine(
        issue=issue,
        kind=QuoteLine.Kind.SPECIAL,
        description=special_words(opening),
        quantity=opening.quantity,
        sold_as=opening.revision.sold_as,
    )


def _store(taken: list[Taken], by_hand: list[QuoteLine]) -> None:
    """Lines in the order of their openings, those made by hand last."""
    taken.sort(key=lambda one: one[1][0].position)
    lines = [*(line for line, _ in taken), *by_hand]
    for position, line in enumerate(lines):
        line.position = position
    new = [(line, openings) for line, openings in taken if line.pk is None]
    stored = [line for line in lines if line.pk]
    QuoteLine.objects.bulk_create(line for line, _ in new)
    LineOpening.objects.bulk_create(
        LineOpening(line=line, opening=opening) for line, openings in new for opening in openings
    )
    QuoteLine.objects.bulk_update(stored, KEPT)


KEPT = (
    "position", "quantity", "unit_price", "factory_cost", "factory_cost_currency",
    "factory_valid_until", "margin_percent", "lead_words",
)  # fmt: skip


def draft(issue_pk: int) -> Issue:
    """The issue, locked for writing. Raises QuoteError once it has been issued."""
    # The quote is what everybody locks: an acceptance and a new issue never pass each other. Read only then,
    # so that nothing is written back as it was before.
    of_quote = Issue.objects.values("quote").get(pk=issue_pk)["quote"]
    quote = Quote.objects.select_for_update().get(pk=of_quote)
    issue = Issue.objects.get(pk=issue_pk)
    issue.quote = quote
    if issue.issued_at is not None:
        raise QuoteError(f"{issue} is issued and frozen: make the next issue to change it.")
    return issue


@transaction.atomic
def discard_draft(issue_pk: int) -> Quote | None:
    """Take away a draft that was never issued; the quote, or None if the draft was all there was of it.

    What was issued stays as it is. Raises QuoteError if the draft holds what stands nowhere else.
    """
    hold(Request.objects.filter(quotes__issues=issue_pk))
    issue = draft(issue_pk)
    if Special.objects.filter(line__issue=issue).exists():
        raise QuoteError(
            f"{issue} holds a special's price that stands nowhere else: take out the other lines, "
            "or issue it."
        )
    quote = issue.quote
    issue.delete()
    if quote.issues.exists():
        return quote
    quote.delete()
    if quote.request_id:
        worklist.note(quote.request_id)
    return None


@dataclass(frozen=True)
class Head:
    """What a draft says besides its lines."""

    ship_to: Address | None
    pickup: bool
    freight: Decimal | None
    note: str
    valid_days: int


@transaction.atomic
def change_head(issue_pk: int, head: Head) -> Issue:
    issue = draft(issue_pk)
    if head.ship_to and head.ship_to.customer_id != issue.quote.customer_id:
        raise QuoteError("That address is another customer's: choose one of this customer.")
    issue.ship_to, issue.pickup, issue.freight = head.ship_to, head.pickup, head.freight
    issue.note, issue.valid_days = head.note, head.valid_days
    issue.save()
    return issue


@transaction.atomic
def give_discount(issue_pk: int, percent: Decimal | None, by: str) -> None:
    """Percent off list for this quote alone, in the place of the customer's terms; None: as the terms say.

    Whoever gave it first stays named as long as it is not changed.
    """
    issue = draft(issue_pk)
    if percent != issue.discount_percent:
        issue.discount_percent = percent
        issue.discount_by = "" if percent is None else by
        issue.save()


@transaction.atomic
def add_line(
    issue_pk: int, description: str, quantity: int, unit_price: Decimal | None
) -> QuoteLine:
    """A line made by hand, last of all."""
    issue = draft(issue_pk)
    last = issue.lines.aggregate(last=Max("position"))["last"]
    return QuoteLine.objects.create(
        issue=issue,
        position=0 if last is None else last + 1,
        kind=QuoteLine.Kind.HAND,
        description=description,
        quantity=quantity,
        unit_price=unit_price,
    )


@transaction.atomic
def change_line(
    line_pk: int, *, quantity: int, unit_price: Decimal | None, description: str, taxable: bool
) -> None:
    """Change a line of a draft. The price and words of a part come from its table and stay."""
    draft(QuoteLine.objects.values("issue").get(pk=line_pk)["issue"])
    line = QuoteLine.objects.filter(pk=line_pk).first()
    if line is None:
        raise QuoteError("A line was taken out meanwhile: look at the draft again.")
    line.quantity, line.taxable = quantity, taxable
    if line.kind != QuoteLine.Kind.PART:
        line.unit_price, line.description = unit_price, description
    line.save()


@transaction.atomic
def remove_line(line_pk: int) -> None:
    line = QuoteLine.objects.get(pk=line_pk)
    draft(line.issue_id)
    line.delete()


@transaction.atomic
def issue_quote(issue_pk: int, by: str, on: date | None = None) -> Issue:
    """Freeze a draft: its document, how long it holds, the link. Raises QuoteError, PricingError.

    `on` is the day it counts from (today): prices, rates and validity are that day's.
    """
    issue = draft(issue_pk)
    today = on or timezone.localdate()
    accepted = Acceptance.objects.filter(quote=issue.quote).first()
    if accepted:
        raise QuoteError(f"{acceptance_in_words(accepted)}: changes now go through the order.")
    lines = _with_openings(issue)
    _check_complete(lines)
    with speaking("en"):
        answered = answers_of(_openings(lines))
        for sentence in _unsound(lines, answered):
            raise QuoteError(sentence)
    valid_until = min([today + timedelta(days=issue.valid_days), *_factory_ends(lines)])
    if valid_until < today:
        raise QuoteError("A factory's price for a special has lapsed: ask for a new one first.")
    document = compose(issue, today, valid_until, english=answered)
    english = document
    if document.language != "en":
        english = compose(issue, today, valid_until, "en", answered)
    if FREIGHT in english.to_come:
        raise QuoteError(f"The freight {english.freight_words}. Type the freight agreed.")
    at = timezone.now()
    issue.valid_until, issue.issued_by = valid_until, by
    issue.issued_at = at if on is None else at - (timezone.localdate() - on)
    issue.document = to_plain(document)
    if english is not document:
        issue.document = with_openings_to_make(issue.document, english)
    issue.save()
    nonce = new_nonce()
    Link.objects.create(
        issue=issue,
        nonce=nonce,
        token_hash=hash_of(token_of(nonce)),
        expires_at=timezone.make_aware(datetime.combine(valid_until, time.max)) + LINK_LASTS,
    )
    settle_changes(issue.quote, by)
    return issue


def _check_complete(lines: list[QuoteLine]) -> None:
    if not lines:
        raise QuoteError("There is no line in this quote: take them from the request or add one.")
    for number, line in enumerate(lines, 1):
        if line.unit_price is None:
            if line.kind == QuoteLine.Kind.PART:
                raise QuoteError(
                    f"Line {number}, {line.part}, has no price in its size table: ask the factory by a "
                    "special quote for its opening, have its price put into the table, or take the line out."
                )
            ask = "ask the factory, " if line.is_unpriced_special else ""
            raise QuoteError(f"Line {number} has no price yet: {ask}type one or take the line out.")


def _unsound(lines: list[QuoteLine], answered: Mapping[int, Answered]) -> Iterator[str]:
    """What is cut to order is not offered past a number that speaks against it, nor for what the openings were
    when the draft began: a sentence each. A part that somebody has chosen with a reason stands."""
    offered: list[Opening] = []
    for number, line in enumerate(lines, 1):
        if line.kind != QuoteLine.Kind.PART:
            continue
        for opening in line.openings.all():
            part = opening.part_to_order
            if part is None or _which(part) != _which(line.part):
                yield f"Line {number} is {line.part}, which {name_of(opening)} is no more: {TAKE_ANEW}"
            elif opening.override_part is None:
                offered.append(opening)
    for opening, sentence in spoken_against(offered, answered):
        yield (
            f"{name_of(opening)}: {sentence} If the part is right all the same, choose it yourself in the "
            "request and say why."
        )


TAKE_ANEW = "press “Take the lines anew from the request”."


def _which(part: Part) -> tuple[int, str]:
    return part.revision.family_id, part.part_number


def _factory_ends(lines: Iterable[QuoteLine]) -> list[date]:
    return [line.factory_valid_until for line in lines if line.factory_valid_until]


def settle_changes(
    quote: Quote, by: str, words: str = "", only: int | None = None
) -> list[ChangeAsked]:
    """What the customer had asked, or the one of it with this key, is dealt with, with the desk's words to it;
    what of it was open. Inside a transaction."""
    waiting = ChangeAsked.objects.filter(issue__quote=quote, done_at=None)
    asked = list(waiting.filter(pk=only) if only else waiting)
    for one in asked:
        one.answer, one.done_by, one.done_at = words, by, timezone.now()
    ChangeAsked.objects.bulk_update(asked, ["answer", "done_by", "done_at"])
    return asked


@transaction.atomic
def next_issue(quote_pk: int) -> Issue:
    """The draft that follows the last issue, with its lines; the one already begun if there is one.

    Raises QuoteError after acceptance: what was accepted is not changed by a quote.
    """
    quote = Quote.objects.select_for_update().get(pk=quote_pk)
    last = quote.issues.order_by("-number").first()
    if last.issued_at is None:
        return last
    if Acceptance.objects.filter(quote=quote).exists():
        accepted = acceptance_in_words(quote.acceptance)
        raise QuoteError(f"{accepted}: changes now go through the order.")
    fresh = Issue.objects.create(
        quote=quote,
        number=last.number + 1,
        ship_to=last.ship_to,
        pickup=last.pickup,
        freight=last.freight,
        discount_percent=last.discount_percent,
        discount_by=last.discount_by,
        note=last.note,
        valid_days=last.valid_days,
    )
    for line in last.lines.all():
        openings = list(line.openings.all())
        line.pk, line.issue = None, fresh
        line._state.adding = True
        line.save()
        LineOpening.objects.bulk_create(LineOpening(line=line, opening=o) for o in openings)
    return fresh
