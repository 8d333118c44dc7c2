"""A request changed by phone while its quote is out: whoever accepts or orders for the customer reads where they differ."""

from html import unescape

import pytest
from django.urls import reverse

from quotes.desk.accepting import accept
from quotes.models import Acceptance, Opening
from sizing.models import Part
from tests.quotes.shop import issued_quote, part_opening, set_up

pytestmark = pytest.mark.usefixtures("built")
OTHERWISE = "The request says otherwise"


def build():
    set_up()
    return issued_quote(part_opening(quantity=3), part_opening("Hall"))


def read(clerk, issue):
    return unescape(clerk.get(reverse("quote-issue", args=[issue.quote_id, issue.number])).text)


def test_counts_and_parts(clerk, built):
    """Of one line the count, of one opening the part; nothing where they agree."""
    assert OTHERWISE not in read(clerk, built)
    Opening.objects.filter(label="Kitchen").update(quantity=5)
    page = read(clerk, built)
    assert "Of OHL-05LS it has 6 now, not 4." in page and "which stands as it is" in page
    other = Part.objects.exclude(part_number="OHL-05LS").first()
    Opening.objects.filter(label="Hall").update(override_part=other)
    assert f"Opening 2, Hall is for {other.part_number} now, not OHL-05LS." in read(clerk, built)


def test_between_acceptance_and_order(clerk, built):
    """Accepted meanwhile: somebody calls before it is ordered; once it is, its order is what counts."""
    accept(built.pk, name="Mara Quill", ticked=["Opening 1, Kitchen", "Opening 2, Hall"])
    Opening.objects.filter(label="Kitchen").update(quantity=5)
    assert "call them first" in read(clerk, built)
    Acceptance.objects.update(waits=False)
    assert OTHERWISE not in read(clerk, built)
