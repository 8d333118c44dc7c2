"""What changed from one issue of a quote to the next, in sentences. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from quotes.documents.content import Document, LineRow, OpeningSheet, show_amount, show_price
from sizing.wording import gettext as _


def changes(old: Document, new: Document) -> list[str]:
    """Every difference a customer would want to know of; empty when there is none."""
    found = [*_openings(old, new), *_lines(old, new)]
    for label, before, after in (
        (_("Goes to"), ", ".join(old.ship_to), ", ".join(new.ship_to)),
        *(
            (
                (_("Freight"), old.freight_words, new.freight_words),
                (_("Sales tax"), old.tax_words, new.tax_words),
                (_("Terms"), old.terms_words, new.terms_words),
            )
            # Words of two languages always differ, and tell nothing.
            if old.language == new.language
            else ()
        ),
        (_("Note"), old.note, new.note),
        *(
            (label, show_amount(before, old.currency, code=True),
             show_amount(after, new.currency, code=True))
            for label, before, after in (
                (_("Freight amount"), old.sums.freight, new.sums.freight),
                (_("Sales tax amount"), old.sums.tax, new.sums.tax),
                (_("Total"), old.sums.total, new.sums.total),
                (_("To pay when you accept"), old.sums.deposit, new.sums.deposit),
            )
        ),
    ):  # fmt: skip
        if before != after:
            found.append(_was(label, before or _("none"), after or _("none")))
    return found


def _was(what: str, before: object, after: object) -> str:
    return _("{what}: was {before}, now {after}.").format(what=what, before=before, after=after)


def _of(name: str, what: str, before: object, after: object) -> str:
    return _("{name}: {what} was {before}, now {after}.").format(
        name=name, what=what, before=before, after=after
    )


def _openings(old: Document, new: Document) -> Iterator[str]:
    if old.language != new.language:
        # Each language has its own names for the openings; their places are the same.
        return
    before = {sheet.name: sheet for sheet in old.openings}
    after = {sheet.name: sheet for sheet in new.openings}
    for name in before:
        if name not in after:
            yield _("{what}: taken out.").format(what=name)
    for name, sheet in after.items():
        if name not in before:
            yield _("{what}: new.").format(what=name)
        else:
            yield from _opening(before[name], sheet)


def _opening(old: OpeningSheet, new: OpeningSheet) -> Iterator[str]:
    was = {measure.label: measure for measure in old.measures}
    for measure in new.measures:
        before = was.pop(measure.label, None)
        if before is None:
            yield _("{opening}: {measure} is now {now}.").format(
                opening=new.name, measure=measure.label, now=measure.said
            )
        elif before.said != measure.said:
            yield _of(new.name, measure.label, before.said, measure.said)
    for label in was:
        yield _("{what}: taken out.").format(what=f"{new.name}: {label}")
    for label, before, after in (
        (_("finish"), old.finish, new.finish),
        (_("count"), old.count, new.count),
    ):
        if before != after:
            yield _of(new.name, label, before or _("not said"), after or _("not said"))


def _lines(old: Document, new: Document) -> Iterator[str]:
    before, after = _by_name(old), _by_name(new)
    for name, line in before.items():
        if name not in after:
            yield _("{what}: taken out.").format(what=f"{line.quantity} x {name}")
    for name, line in after.items():
        was = before.get(name)
        if was is None:
            yield _("{what}: new.").format(what=f"{line.quantity} x {name}")
            continue
        if was.quantity != line.quantity:
            yield _of(name, _("quantity"), was.quantity, line.quantity)
        if was.unit_price != line.unit_price:
            prices = (show_price(p.unit_price, new.currency) for p in (was, line))
            yield _of(name, _("price"), *prices)
        if was.lead != line.lead and old.language == new.language:
            leads = (was.lead or _("not said"), line.lead or _("not said"))
            yield _of(name, _("lead time"), *leads)


def _by_name(document: Document) -> dict[str, LineRow]:
    """Lines by part number or description; a second one of the same name gets its number."""
    found: dict[str, LineRow] = {}
    for line in document.lines:
        name = line.part_number or line.description or _("line {number}").format(number=line.number)
        found[
            _("{what} (line {number})").format(what=name, number=line.number)
            if name in found
            else name
        ] = line
    return found
