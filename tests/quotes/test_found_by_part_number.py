"""Quotes are found by any piece of a part's number: what all parts of a revision share is asked for by the revision."""

import pytest

from fixtures.build import balance, liner, strip
from quotes import searched
from quotes.lists import quotes as quote_lists
from quotes.lists.quotes import find_quotes
from quotes.models import Customer, Issue, Quote, QuoteLine
from sizing.models import Part
from sizing.tables import import_workbook
from tests.quotes.first_keys import assert_first_are_first
from tests.quotes.shop import SINCE

pytestmark = [pytest.mark.usefixtures("built"), pytest.mark.database]

EVERY = 7


def build():
    """A quote with one part, of every seventh part there is, and one with two parts of different families."""
    for book in (liner(), balance(), strip()):
        import_workbook(book, "test", [], SINCE, "ann")
    customer = Customer.objects.create(name="Una Marrow")
    parts = list(Part.objects.exclude(part_number="").order_by("pk"))
    for some in [[part] for part in parts[::EVERY]] + [[parts[0], parts[-1]]]:
        quote = Quote.objects.create(customer=customer, currency="USD")
        issue = Issue.objects.create(quote=quote, number=1)
        for position, part in enumerate(some):
            QuoteLine.objects.create(issue=issue, position=position, kind="part", part=part)


def pieces():
    """Beginnings, ends and middles of the numbers, of three letters and more."""
    numbers = set(Part.objects.exclude(part_number="").values_list("part_number", flat=True)[::5])
    found = set()
    for number in sorted(numbers):
        found |= {number[:3], number[:4], number[2:5], number[-3:], number.lower(), number}
    # Without a letter it is read as a phone's number.
    return sorted(piece for piece in found if any(letter.isalpha() for letter in piece))


@pytest.mark.parametrize(("common", "a_page"), [(1000, 251), (2, 251), (2, 0)])
def test_just_the_quotes_with_such_a_part(monkeypatch, common, a_page):
    """Whether a few lines have such a part, or more than a few, the quotes are those whose lines say so."""
    monkeypatch.setattr(searched, "COMMON", common)
    monkeypatch.setattr(quote_lists, "COMMON", common)
    monkeypatch.setattr(searched, "A_PAGE", a_page)
    numbers = dict.fromkeys(Quote.objects.values_list("pk", flat=True), "")
    for key, number in QuoteLine.objects.values_list("issue__quote", "part__part_number"):
        numbers[key] += f" {number}"
    scraps = pieces()
    assert len(scraps) > 50
    for scrap in scraps:
        bare = scrap.lower().replace("-", "")
        wanted = {key for key, said in numbers.items() if bare in said.lower().replace("-", "")}
        found = find_quotes(scrap)
        assert set(found.every().values_list("pk", flat=True)) == wanted, scrap
        assert_first_are_first(found)
