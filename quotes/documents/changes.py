"""What changed from one issue of a quote to the next, in sentences. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from quotes.documents.content import Document, LineRow, OpeningSheet, show_amount, show_price


def changes(old: Document, new: Document) -> list[str]:
    """Every difference a customer would want to know of; empty when there is none."""
    found = [*_openings(old, new), *_lines(old, new)]
    for label, before, after in (
        ("Ships to", ", ".join(old.ship_to), ", ".join(new.ship_to)),
        ("Freight", old.freight_words, new.freight_words),
        ("Sales tax", old.tax_words, new.tax_words),
        ("Terms", old.terms_words, new.terms_words),
        ("Note", old.note, new.note),
        *(
            (label, show_amount(before, old.currency, code=True),
             show_amount(after, new.currency, code=True))
            for label, before, after in (
                ("Freight amount", old.sums.freight, new.sums.freight),
                ("Sales tax amount", old.sums.tax, new.sums.tax),
                ("Total", old.sums.total, new.sums.total),
                ("To pay on accepting", old.sums.deposit, new.sums.deposit),
            )
        ),
    ):  # fmt: skip
        if before != after:
            found.append(f"{label}: was {before or 'none'}, now {after or 'none'}.")
    return found


def _openings(old: Document, new: Document) -> Iterator[str]:
    before = {sheet.name: sheet for sheet in old.openings}
    after = {sheet.name: sheet for sheet in new.openings}
    for name in before.keys() - after.keys():
        yield f"{name}: taken out."
    for name, sheet in after.items():
        if name not in before:
            yield f"{name}: new."
        else:
            yield from _opening(before[name], sheet)


def _opening(old: OpeningSheet, new: OpeningSheet) -> Iterator[str]:
    was = {measure.label: measure for measure in old.measures}
    for measure in new.measures:
        before = was.pop(measure.label, None)
        if before is None:
            yield f"{new.name}: {measure.label} is now {measure.said}."
        elif before.said != measure.said:
            yield f"{new.name}: {measure.label} was {before.said}, now {measure.said}."
    for label in was:
        yield f"{new.name}: {label} was taken out."
    for label, before, after in (
        ("finish", old.finish, new.finish),
        ("count", old.count, new.count),
    ):
        if before != after:
            yield f"{new.name}: {label} was {before or 'not said'}, now {after or 'not said'}."


def _lines(old: Document, new: Document) -> Iterator[str]:
    before, after = _by_name(old), _by_name(new)
    for name, line in before.items():
        if name not in after:
            yield f"{line.quantity} x {name}: taken out."
    for name, line in after.items():
        was = before.get(name)
        if was is None:
            yield f"{line.quantity} x {name}: new."
            continue
        if was.quantity != line.quantity:
            yield f"{name}: quantity was {was.quantity}, now {line.quantity}."
        if was.unit_price != line.unit_price:
            prices = (show_price(p.unit_price, new.currency) for p in (was, line))
            yield "{}: price was {}, now {}.".format(name, *prices)
        if was.lead != line.lead:
            yield f"{name}: lead time was {was.lead or 'not said'}, now {line.lead or 'not said'}."


def _by_name(document: Document) -> dict[str, LineRow]:
    """Lines by part number or description; a second one of the same name gets its number."""
    found: dict[str, LineRow] = {}
    for line in document.lines:
        name = line.part_number or line.description or f"line {line.number}"
        found[f"{name} (line {line.number})" if name in found else name] = line
    return found
