"""Composes the document of an issue from what is stored: reads, prices, changes nothing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal

from quotes import answer_sheet, pricing, tax
from quotes.answering import Answered, answer_opening, answer_openings
from quotes.documents.content import (
    FREIGHT,
    NOTICES,
    Document,
    LineRow,
    MeasureLine,
    OpeningSheet,
    Sums,
)
from quotes.freight import Freight, Goods, freight_for
from quotes.lists import prices
from quotes.lists.requests import said_opening
from quotes.lists.shop import the_shop
from quotes.models import Enquiry, Issue, Opening, QuoteLine
from sizing import lookup
from sizing.cautions import Caution
from sizing.lengths import PER_INCH, Length, Unit, format_length
from sizing.models import Part, Revision
from sizing.people import name_of as person
from sizing.resolver.answer import Reading
from sizing.resolver.explain import row_in_words
from sizing.table import SizeTable, said_in
from sizing.weights import Weight, format_weight
from sizing.wording import gettext as _
from sizing.wording import known, language, speaking

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
    openings = _openings(lines)
    names = {opening.pk: name_of(opening) for opening in openings}
    terms = _terms(issue, on)
    sent = _freight(issue, lines, on)
    taxed = prices.tax_on(_place(issue), on, _exemption(issue))
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
    sheets, warned = _sheets(openings, answered, names, Unit(quote.customer.unit))
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
        sums=Sums(
            priced.goods, priced.discount, priced.freight, priced.freight_tax, priced.tax,
            priced.total, priced.deposit,
        ),
        freight_words=sent.words,
        tax_words=taxed.words,
        terms_words=_terms_words(terms, any(line.list_price for line in to_price)),
        cautions=tuple((caution.title, caution.text) for caution in warned),
        notices=tuple(_(notice) for notice in NOTICES),
        to_come=_to_come(lines, priced.unpriced),
        how_to_pay=shop.how_to_pay,
        how_to=_how_to(sheets, (answered[opening.pk].table for opening in openings)),
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


def shop_lines() -> tuple[str, ...]:
    """The desk's own name and how to reach it."""
    return the_shop().lines


def name_of(opening: Opening) -> str:
    """What lines and ticks call an opening: its place, and its label if it has one."""
    place = _("Opening {place}").format(place=opening.position + 1)
    return f"{place}, {opening.label}" if opening.label else place


def describe(line: QuoteLine) -> str:
    """A line's own words, or its part's; what the desk wrote of a special by itself is in the reader's language."""
    if line.kind == QuoteLine.Kind.SPECIAL:
        return _special(line)
    if line.description or line.part is None:
        return line.description
    return describe_part(line.part)


def _special(line: QuoteLine) -> str:
    opening = next(iter(line.openings.all()), None)
    if opening is None or language() == "en":
        return line.description
    with speaking("en"):
        by_itself = line.description == special_words(opening)
    return special_words(opening) if by_itself else line.description


def special_words(opening: Opening) -> str:
    """What a special is, as long as nobody has put it in words."""
    table = lookup.table_of(opening.revision)
    made_to = _("{family}, special, made to the measures of opening {place}").format(
        family=table.name, place=opening.position + 1
    )
    return ", ".join(filter(None, (made_to, said_in(language(), table, opening.finish))))


def describe_part(part: Part) -> str:
    """A part's table, size, weight class and finish."""
    table = lookup.table_of(part.revision)
    row = next(p.row for p in table.parts if p.part_number == part.part_number)
    kinds = (said_in(language(), table, kind) for kind in (part.weight_class, part.finish))
    return ", ".join(filter(None, (table.name, row_in_words(table, row), *kinds)))


def _openings(lines: Iterable[QuoteLine]) -> list[Opening]:
    found = {opening.pk: opening for line in lines for opening in line.openings.all()}
    return sorted(found.values(), key=lambda opening: opening.position)


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


def _freight(issue: Issue, lines: Sequence[QuoteLine], on: date) -> Freight:
    if issue.pickup:
        return Freight("pickup", Decimal(0), _("picked up at the counter"))
    if issue.freight is not None:
        return Freight("agreed", issue.freight, _("as agreed"))
    goods = [item for line in lines if (item := _goods(line))]
    return freight_for(goods, prices.steps_on(issue.quote.currency, on))


def _to_come(lines: Sequence[QuoteLine], unpriced: Sequence[str]) -> tuple[str, ...]:
    """What the total leaves out: lines by number, or how many, and freight still to be asked for."""
    named = [
        _("line {number}").format(number=at)
        for at, line in enumerate(lines, 1)
        if str(line.pk) in unpriced
    ]
    if len(named) > _MOST_NAMED:
        named = [_("{count} lines").format(count=len(named))]
    return (*named, *([_(FREIGHT)] if "freight" in unpriced else []))


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


def _place(issue: Issue) -> tax.Place | None:
    """Where the goods are handed over: the counter itself for a pickup."""
    if issue.pickup:
        shop = the_shop()
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


def _sheets(
    openings: Sequence[Opening],
    answered: Mapping[int, Answered],
    names: dict[int, str],
    unit: Unit,
) -> tuple[tuple[OpeningSheet, ...], tuple[Caution, ...]]:
    sheets, warned = [], {}
    for opening in openings:
        answer = answered[opening.pk]
        if opening.part_to_order is None:
            answer = _to_make(answer)
        sheet, shown = _sheet(opening, answer, names[opening.pk], unit)
        warned |= {caution.code: caution for caution in shown.cautions}
        sheets.append(sheet)
    return tuple(sheets), tuple(warned.values())


def _how_to(
    sheets: Sequence[OpeningSheet], tables: Iterable[SizeTable]
) -> tuple[tuple[str, str], ...]:
    """How each measure shown is taken: whoever accepts is asked to check it with a tape of their own."""
    found = {
        (sheet.family, measure.label): measure.how_to
        for sheet, table in zip(sheets, tables, strict=True)
        for measure in table.measures
        if measure.how_to and measure.label in {shown.label for shown in sheet.measures}
    }
    several = len({family for family, _label in found}) > 1
    return tuple(
        (f"{label} ({family})" if several else label, how) for (family, label), how in found.items()
    )


def answers_of(openings: Sequence[Opening]) -> dict[int, Answered]:
    """{opening's key: what it comes to by the table it was answered with}, in the reader's language."""
    found: dict[int, Answered] = {}
    for key in dict.fromkeys(opening.revision_id for opening in openings):
        # All windows of one table at once: hundreds cost little more than one.
        alike = [opening for opening in openings if opening.revision_id == key]
        answers = answer_openings([said_opening(o) for o in alike], alike[0].revision)
        found |= {o.pk: answer for o, answer in zip(alike, answers, strict=True)}
    return found


def spoken_against(
    openings: Sequence[Opening], answered: Mapping[int, Answered]
) -> Iterator[tuple[Opening, str]]:
    """Those of which a number speaks against their part, with the sentence that says which."""
    for opening in openings:
        if sentence := answer_sheet.AnswerSheet(answered[opening.pk]).spoken_against:
            yield opening, sentence


def opening_sheet(
    opening: Opening, name: str, unit: Unit
) -> tuple[OpeningSheet, answer_sheet.AnswerSheet]:
    """An opening as papers show it, with the answer it was made of."""
    return _sheet(opening, answer_opening(said_opening(opening), opening.revision), name, unit)


def sheet_to_make(opening: Opening, name: str, unit: Unit) -> OpeningSheet:
    """An opening as the factory is shown it: what no row of the table fits is no fault of a measure."""
    answered = answer_opening(said_opening(opening), opening.revision)
    sheet, _shown = _sheet(opening, _to_make(answered), name, unit)
    weight = answered.table.weight_measure
    if weight is None or answered.opening.weight is not None:
        return sheet
    # The factory reads that nobody knows it, instead of finding out that it is not there.
    unknown = MeasureLine(weight.label, "", _("not known"), "", doubtful=True)
    return replace(sheet, measures=(*sheet.measures, unknown))


def _to_make(answered: Answered) -> Answered:
    """The answer without the table's word on each measure: a special is made to what was measured.

    What the two heights of an unequal split contradict stays: that is no matter of the table's sizes.
    """
    if answered.answer is None:
        return answered
    kept = {"slip", "misfit"} if answered.answer.reason == "unequal_split" else {"slip"}
    readings = tuple(
        r if r.verdict in kept else _as_given(r, answered.opening.about)
        for r in answered.answer.readings
    )
    return replace(answered, answer=replace(answered.answer, readings=readings))


def _as_given(reading: Reading, about: frozenset[str]) -> Reading:
    words = _("said as “about”") if reading.measure in about else _("as measured")
    return Reading(reading.measure, reading.value, None, None, "unchecked", words)


def _sheet(
    opening: Opening, answered: Answered, name: str, unit: Unit
) -> tuple[OpeningSheet, answer_sheet.AnswerSheet]:
    shown = answer_sheet.AnswerSheet(answered)
    part = opening.part_to_order
    sheet = OpeningSheet(
        name=name,
        family=answered.table.name,
        count=opening.quantity,
        finish=said_in(language(), answered.table, opening.finish),
        measures=tuple(_measures(shown, unit)),
        result=_("Part {number}").format(number=part.part_number)
        if part
        else _("Special: made to these measures"),
        split=shown.split,
        cautions=tuple(caution.title for caution in shown.cautions),
        drawing=shown.picture_as_given,
    )
    return sheet, shown


def _measures(shown: answer_sheet.AnswerSheet, unit: Unit) -> Iterable[MeasureLine]:
    """Each measure said, in the table's order: lengths in its unit, then in the customer's own."""
    answered, table = shown.answered, shown.table
    lines = {line.label: line for line in shown.lines}
    said = dict(answered.said.measures)
    for measure in table.measures:
        words = said.get(measure.code, "")
        if measure.kind == "weight" and answered.opening.weight is not None:
            understood = format_weight(answered.opening.weight, table.weight_unit)
            words = words or _("worked out from the glass")
        elif measure.code in answered.opening.lengths:
            length = answered.opening.lengths[measure.code]
            understood = format_length(length, table.unit, mark=True)
            if unit is not table.unit:
                understood += f" ({format_length(length, unit, mark=True)})"
        elif words:
            understood = _("could not be read")
        else:
            continue
        line = lines.get(measure.label)
        fit = (line.words or line.word) if line else _("as given")
        doubtful = line is not None and line.verdict in ("slip", "misfit")
        yield MeasureLine(measure.label, words, understood, fit, doubtful)
