"""Composes the document of an issue from what is stored: reads, prices, changes nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal

from quotes import pricing, tax
from quotes.answering import Answered, answer_opening
from quotes.documents.content import FREIGHT, NOTICES, TAX, Document, LineRow, Sums
from quotes.documents.naming import describe, name_of
from quotes.documents.opening_sheets import answers_of, how_to, openings_of, sheets_of
from quotes.freight import Freight, Goods, freight_for
from quotes.lists import prices
from quotes.lists.requests import said_opening
from quotes.lists.shop import the_shop
from quotes.models import Enquiry, Issue, Opening, QuoteLine, Shop
from sizing.lengths import PER_INCH, Length, Unit
from sizing.models import Revision
from sizing.people import name_of as person
from sizing.weights import Weight
from sizing.wording import gettext as _
from sizing.wording import known, speaking

_MOST_NAMED = 4


def compose(
    issue: Issue,
    on: date,
    valid_until: date | None = None,
    reader: str = "",
    english: Mapping[int, Answered] | None = None,
) -> Document:
    """The document as it stands on a day: prices, freight, tax and lead times in force then.

    It speaks the customer's language, or the one given. `valid_until` is given when it is issued; a
    draft has neither that nor a day of issue. `english` is what `answers_of` has found of its openings for
    a reader of English, if that is known. Raises PricingError.
    """
    reader = known(reader or issue.quote.customer.language)
    with speaking(reader):
        answered = english if reader == "en" else None
        return replace(_composed(issue, on, valid_until, answered), language=reader)


def _composed(
    issue: Issue, on: date, valid_until: date | None, answered: Mapping[int, Answered] | None
) -> Document:
    quote, lines, shop = issue.quote, _stored(issue), the_shop()
    openings = openings_of(lines)
    names = {opening.pk: name_of(opening) for opening in openings}
    terms = _terms(issue, on)
    sent = _freight(issue, lines, on)
    taxed = prices.tax_on(_place(issue, shop), on, _exemption(issue))
    to_price = [_priced(line) for line in lines]
    priced = pricing.price_quote(
        to_price,
        currency=quote.currency,
        terms=terms,
        breaks=prices.breaks_on(on),
        freight=sent,
        tax=taxed,
    )
    answered = answers_of(openings) if answered is None else answered
    sheets, warned = sheets_of(openings, answered, names, Unit(quote.customer.unit))
    amounts = {line.key: line for line in priced.lines}
    told = prices.answered_alone(quote.request_id)
    return Document(
        number=quote.number,
        issue=issue.number,
        issued_on=on if valid_until else None,
        valid_until=valid_until,
        currency=quote.currency,
        shop=shop.lines,
        customer=tuple(_customer(issue)),
        ship_to=_ship_to(issue),
        taken_by=person(quote.taken_by),
        note=issue.note,
        lines=tuple(
            _row(number, line, amounts.get(str(line.pk)), names, _lead(line, told))
            for number, line in enumerate(lines, 1)
        ),
        openings=sheets,
        sums=_sums(priced),
        freight_words=sent.words,
        tax_words=taxed.words,
        terms_words=_terms_words(terms, any(line.list_price for line in to_price)),
        cautions=tuple((caution.title, caution.text) for caution in warned),
        notices=tuple(_(notice) for notice in NOTICES),
        to_come=_to_come(lines, priced.unpriced, taxed),
        how_to_pay=shop.how_to_pay,
        how_to=how_to(sheets, (answered[opening.pk].table for opening in openings)),
    )  # fmt: skip


def _sums(priced: pricing.PricedQuote) -> Sums:
    return Sums(
        priced.goods, priced.discount, priced.freight, priced.freight_tax, priced.tax,
        priced.total, priced.deposit,
    )  # fmt: skip


def _stored(issue: Issue) -> list[QuoteLine]:
    """The issue's lines with all that a document says of them."""
    return list(
        issue.lines.select_related("part__revision__family", "part__row").prefetch_related(
            "openings__revision__family",
            "openings__family",
            "openings__part",
            "openings__override_part",
            "openings__specials",
        )
    )


def _terms(issue: Issue, on: date) -> pricing.Terms:
    """The customer's; what is given off list for this quote takes the place of theirs."""
    terms = prices.terms_on(issue.quote.customer.terms, on)
    if issue.discount_percent is None:
        return terms
    return replace(terms, discount_percent=issue.discount_percent)


def _priced(line: QuoteLine) -> pricing.Line:
    listed = line.kind == QuoteLine.Kind.PART
    return pricing.Line(
        key=str(line.pk),
        quantity=line.quantity,
        unit_price=line.unit_price,
        family=line.part.revision.family.code if listed and line.part else "",
        list_price=listed,
        taxable=line.taxable,
    )


def _row(
    number: int,
    line: QuoteLine,
    amounts: pricing.PricedLine | None,
    names: dict[int, str],
    lead: str,
) -> LineRow:
    return LineRow(
        number=number,
        kind=line.kind,
        part_number=line.part.part_number if line.part else "",
        description=describe(line),
        openings=tuple(names[o.pk] for o in sorted(line.openings.all(), key=lambda o: o.position)),
        quantity=line.quantity,
        unit=line.sold_as,
        lead=lead,
        unit_price=line.unit_price,
        break_percent=amounts.break_percent if amounts else Decimal(0),
        discount=amounts.discount if amounts else None,
        net=amounts.net if amounts else None,
        tax=amounts.tax if amounts else None,
        total=amounts.total if amounts else None,
    )


def _lead(line: QuoteLine, told: Mapping[tuple[int, str], Enquiry]) -> str:
    if line.lead_words or line.part is None:
        return line.lead_words
    answer = told.get((line.part.revision.family_id, line.part.part_number))
    if answer:
        return prices.weeks_answered(answer)
    return prices.lead_time(line.part.revision, line.part.part_number)


def freight_of_rest(issue: Issue, left: Mapping[int, int], on: date) -> Freight:
    """How what is `left` of an issue's lines, {number: pieces or pairs}, goes by the rates of a day."""
    lines = []
    for number, line in enumerate(_stored(issue), 1):
        # Of this reading of the line alone; nothing is stored.
        line.quantity = left.get(number, 0)
        if line.quantity:
            lines.append(line)
    return _freight(issue, lines, on)


def _freight(issue: Issue, lines: Sequence[QuoteLine], on: date) -> Freight:
    if issue.pickup:
        return Freight("pickup", Decimal(0), _("picked up at the counter"))
    if issue.freight is not None:
        return Freight("agreed", issue.freight, _("as agreed"))
    goods = [item for line in lines if (item := _goods(line))]
    return freight_for(goods, prices.steps_on(issue.quote.currency, on))


def _to_come(
    lines: Sequence[QuoteLine], unpriced: Sequence[str], taxed: tax.Tax
) -> tuple[str, ...]:
    """What the total leaves out: lines by number, or how many, freight still to be asked for, tax that nobody
    worked out."""
    named = [
        _("line {number}").format(number=at)
        for at, line in enumerate(lines, 1)
        if str(line.pk) in unpriced
    ]
    if len(named) > _MOST_NAMED:
        named = [_("{count} lines").format(count=len(named))]
    if "freight" in unpriced:
        named.append(_(FREIGHT))
    if not taxed.known:
        named.append(_(TAX))
    return tuple(named)


def _goods(line: QuoteLine) -> Goods | None:
    """What a line puts into a parcel; a line made by hand puts nothing (its freight is agreed)."""
    pieces = line.quantity * (2 if line.sold_as == "pair" else 1)
    if line.part:
        # The longest dimension of the size stands for the piece: never shorter than the part is.
        return _piece(line.part.revision, pieces, max(line.part.row.lengths))
    opening = next(iter(line.openings.all()), None)
    if line.kind != QuoteLine.Kind.SPECIAL or opening is None:
        return None
    return _piece(opening.revision, pieces, _whole_height(opening))


def _whole_height(opening: Opening) -> int | None:
    """The longest measure of a whole window as read; the glass of one sash says too little."""
    answered = answer_opening(said_opening(opening), opening.revision)
    whole = [m.code for m in answered.table.measures if m.kind == "length" and not m.sash]
    return max((answered.opening.lengths.get(code, 0) for code in whole), default=0) or None


def _piece(revision: Revision, pieces: int, length: int | None) -> Goods:
    girth = None if revision.girth is None else Length(revision.girth)
    if length is None:
        return Goods(pieces, Length(0), girth, None)
    per = 12 * PER_INCH if revision.unit == Unit.INCH else 320_000
    linear = revision.linear_weight
    weight = None if linear is None else Weight(-(-linear * length // per))
    return Goods(pieces, Length(length), girth, weight)


def _place(issue: Issue, shop: Shop) -> tax.Place | None:
    """Where the goods are handed over: the counter itself for a pickup."""
    if issue.pickup:
        return tax.Place(shop.country, shop.region, shop.town) if shop.country else None
    address = issue.ship_to
    return tax.Place(address.country, address.region, address.town) if address else None


def _exemption(issue: Issue) -> tax.Exemption:
    customer = issue.quote.customer
    return tax.Exemption(customer.exemption_number, customer.exemption_expires)


def _ship_to(issue: Issue) -> tuple[str, ...]:
    if issue.pickup:
        return (_("Picked up at the counter"),)
    if issue.ship_to is None:
        return ()
    return tuple(line for line in (issue.ship_to.label, *issue.ship_to.lines) if line)


def _customer(issue: Issue) -> Iterable[str]:
    customer = issue.quote.customer
    yield customer.name
    contact = customer.contacts.first()
    if contact:
        words = (contact.name, contact.phone, contact.email)
        yield from (word for word in words if word and word != customer.name)


def _terms_words(terms: pricing.Terms, on_list: bool) -> str:
    """The terms as a paper states them; a share off list only where a line has a list price (`on_list`)."""
    words = [terms.name] if terms.name else []
    if terms.discount_percent and on_list:
        percent = f"{terms.discount_percent.normalize():f}"
        words.append(_("{percent} % off list").format(percent=percent))
    elif not words:
        words.append(_("list price"))
    words.append(
        _("to pay within {days} days").format(days=terms.net_days)
        if terms.net_days
        else _("due at pickup or shipping")
    )
    return ", ".join(words)
