"""The page of a size table that counted and was wrong says what still stands open with its parts."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fixtures.build import liner
from ordering.events import cancel, place_from_quote
from ordering.templatetags.order_rows import MOST_NAMED
from quotes.desk.drafts import next_issue
from quotes.desk.issuing import issue_quote
from quotes.models import Issue, QuoteLine
from sizing.models import Part
from sizing.tables import import_workbook
from tests.ordering.placed import CLERK, accepted_quote, load_shop, user
from tests.quotes.shop import draft_quote, part_opening

pytestmark = pytest.mark.usefixtures("built")


def build():
    """A revision that counted, what was done with it, and the one that took its place."""
    load_shop()
    made = {
        "draft": draft_quote(part_opening("Bay"), caller="Ida Lorne", phone="", email="").quote,
        "issued": issue_quote(draft_quote(part_opening("Attic")).pk, "ann").quote,
        "waits": accepted_quote(),
        "order": place_from_quote(accepted_quote().pk, CLERK),
    }
    import_workbook(liner(), "mended", [], timezone.localdate(), "max")
    return made


def page(number, role="counter"):
    client = Client()
    client.force_login(user(role, role))
    return client.get(f"{reverse('size-table', args=['otter-liner'])}?revision={number}").text


def to(quote):
    return f'href="{reverse("quote", args=[quote.pk])}"'


def test_what_is_open_is_counted_and_led_to(built):
    """A draft, an issue that is out, an acceptance not placed yet; and the order."""
    shown = page(1)
    assert "3 open quotes and 1 open order hold parts of it" in shown
    assert all(to(built[name]) in shown for name in ("draft", "issued", "waits"))
    assert to(built["order"].acceptance.quote) not in shown
    assert f'href="{reverse("order", args=[built["order"].pk])}"' in shown


def test_nothing_on_the_page_of_the_one_in_force(built):
    """There everything is as it should be, and nobody is asked."""
    assert "hold parts of it" not in page(2) and "parts of this revision" not in page(2)


def test_what_is_settled_is_not_counted(built):
    """Lapsed, replaced by an issue without its parts, placed, cancelled: none left, which is said."""
    yesterday = timezone.localdate() - timedelta(days=1)
    Issue.objects.filter(quote=built["issued"]).update(valid_until=yesterday)
    assert "2 open quotes and 1 open order" in page(1)
    place_from_quote(built["waits"].pk, CLERK)
    assert "1 open quote and 2 open orders" in page(1)
    for order in (built["order"], built["waits"].acceptance.order):
        cancel(order.pk, [line.number for line in order.lines.all()], "wrong", CLERK, tells=False)
    assert "1 open quote and 0 open orders" in page(1)
    built["draft"].issues.get().lines.all().delete()
    assert "No open quote and no open order holds parts of this revision." in page(1)


def test_an_issue_replaced_counts_no_more(built):
    """Of a quote whose newer issue has the mended table's parts nothing is left of the old."""
    Issue.objects.filter(quote=built["issued"]).update(valid_until=None)
    issue = next_issue(built["issued"].pk)
    for line in issue.lines.all():
        number = line.part.part_number
        mended = Part.objects.get(part_number=number, revision__number=2)
        QuoteLine.objects.filter(pk=line.pk).update(part=mended)
    assert to(built["issued"]) in page(1)
    Issue.objects.filter(pk=issue.pk).update(issued_at=timezone.now())
    assert to(built["issued"]) not in page(1)


def test_the_newest_ten_are_named(built):
    """With the count of all."""
    for _ in range(MOST_NAMED):
        draft_quote(part_opening("Bay"), caller="Ida Lorne", phone="", email="")
    newest = Part.objects.filter(revision__number=1)
    for line in QuoteLine.objects.filter(part__revision__number=2).select_related("part"):
        QuoteLine.objects.filter(pk=line.pk).update(
            part=newest.get(part_number=line.part.part_number)
        )
    shown = page(1)
    assert f"{MOST_NAMED + 3} open quotes" in shown and "The newest quotes" in shown
    without = page(2).count('href="/quotes/')
    assert shown.count('href="/quotes/') - without == MOST_NAMED
    assert 'href="?revision=1&amp;held=all#held"' in shown
    every = page("1&held=all")
    assert every.count('href="/quotes/') - without == MOST_NAMED + 3
    assert "Name all of them" not in every and "The newest quotes" not in every


def test_few_need_no_further_press(built):
    assert "Name all of them" not in page(1)


def test_who_may_open_no_quote_reads_the_numbers(built):
    shown = page(1, "staff")
    assert built["draft"].number in shown and to(built["draft"]) not in shown
