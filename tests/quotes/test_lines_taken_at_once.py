"""However many openings a request has, its lines are taken from it with the same few questions to the database."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from fixtures.build import liner
from quotes.desk.drafts import add_line
from quotes.desk.quoting import take_lines
from quotes.lists.issues import moved_prices
from quotes.models import LineOpening, Opening, QuoteLine
from sizing.models import Part
from sizing.tables import import_workbook
from tests.quotes.shop import cottage_opening, draft_quote, part_opening, set_up

pytestmark = pytest.mark.usefixtures("built")


def build():
    set_up()


def draft_of_many(count: int):
    """A draft with so many parts, specials kept and specials still to come; another table is in force by now."""
    windows = [part_opening(f"Window {n}") for n in range(count)]
    stairs = [cottage_opening(f"Stairs {n}") for n in range(2 * count)]
    issue = draft_quote(*windows, *stairs, caller=f"Caller of {count}")
    add_line(issue.pk, "Box of screws", 2, 4)
    parts = Part.objects.exclude(part_number="").order_by("pk")
    openings = list(issue.quote.request.openings.all())
    for opening, part in zip(openings[:count], parts, strict=False):
        opening.override_part, opening.override_reason = part, "by the old one"
    Opening.objects.bulk_update(openings[:count], ["override_part", "override_reason"])
    later = {opening.pk for opening in openings[-count:]}
    LineOpening.objects.filter(opening__in=later).delete()
    QuoteLine.objects.filter(issue=issue, kind="special", openings=None).delete()
    return issue


def asked(act, *given) -> int:
    with CaptureQueriesContext(connection) as queries:
        act(*given)
    return len(queries)


def test_as_many_for_three_as_for_twelve():
    """Taking the lines, and looking for prices that have moved since."""
    few, many = draft_of_many(3), draft_of_many(12)
    import_workbook(liner(), "the same anew", [], date(2021, 1, 1), "ann")
    assert asked(take_lines, few) == asked(take_lines, many)
    assert (few.lines.count(), many.lines.count()) == (3 * 3 + 1, 3 * 12 + 1)
    assert asked(moved_prices, few) == asked(moved_prices, many)


def test_in_the_order_of_the_openings():
    """Parts and specials stand as their openings do, those made by hand last, all counted from nought."""
    issue = draft_of_many(3)
    take_lines(issue)
    lines = list(issue.lines.prefetch_related("openings"))
    assert [line.position for line in lines] == list(range(10))
    places = [opening.position for line in lines for opening in line.openings.all()]
    assert places == sorted(places)
    assert lines[-1].description == "Box of screws"
