"""Parts against the revisions that offer them: in openings, in quotes and in orders."""

from __future__ import annotations

from collections.abc import Iterator

from django.db.models import F

from ordering.models import OrderLine
from ordering.verifying.moment import AT_ONCE
from quotes.documents.content import from_plain
from quotes.models import Issue, Opening


def part_numbers() -> Iterator[str]:
    """Parts against the revisions that offer them: in openings, in quotes and in orders."""
    lines = OrderLine.objects.select_related(
        "order", "part__revision", "quote_line__part", "family"
    )
    for line in lines.exclude(part=None).iterator(AT_ONCE):
        if not line.part.part_number:
            yield f"Line {line} orders a part that is not offered."
        if line.part.revision.in_force_from is None:
            yield f"Line {line} orders {line.part} from a draft."
        if line.family_id != line.part.revision.family_id:
            yield f"Line {line} orders {line.part}, which is no part of {line.family}."
        if line.quote_line and line.quote_line.part_id != line.part_id:
            yield f"Line {line} orders {line.part}; the quote says {line.quote_line.part}."
    others = Opening.objects.exclude(part=None).exclude(part__revision=F("revision"))
    for opening in others.select_related("request", "part"):
        yield f"Request {opening.request_id}, {opening}: {opening.part} is of another revision than its answer."
    answered = Opening.objects.exclude(part=None).select_related("part")
    for opening in answered.iterator(AT_ONCE):
        if opening.answer.get("part_number", opening.part.part_number) != opening.part.part_number:
            yield f"Request {opening.request_id}, {opening}: the answer names {opening.answer['part_number']}, the part is {opening.part}."
    for issue in (
        Issue.objects.filter(document__isnull=False)
        .prefetch_related("lines__part")
        .iterator(AT_ONCE)
    ):
        told = [row.part_number for row in from_plain(issue.document).lines]
        held = [line.part.part_number if line.part else "" for line in issue.lines.all()]
        if told != held:
            yield f"{issue} says the parts {told}, its lines hold {held}."
