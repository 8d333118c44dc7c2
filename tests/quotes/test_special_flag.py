"""A clerk's flag: with a reason in words where the table has an answer, once for an opening."""

import pytest

from quotes.desk.quoting import begin_quotes
from quotes.desk.specials import EnquiryError, flag
from quotes.lists.specials import waiting
from quotes.models import Letter, Special
from tests.quotes import shop, specials

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    specials.set_up()
    return shop.take_request(shop.part_opening()).openings.get()


def test_with_words_it_is_flagged(part):
    """The words are kept as the reason."""
    special = flag(part.pk, by="ann", words="rotten sill, wants a longer liner")
    assert (special.reason, special.state, special.flagged_by) == ("flagged", "flagged", "ann")
    assert special.events.get().why == "rotten sill, wants a longer liner"


def test_without_words_it_is_not(part):
    """Where the table has an answer the clerk must say why it will not do."""
    with pytest.raises(EnquiryError, match="say why it needs a special quote"):
        flag(part.pk, by="ann", words="  ")
    assert not Special.objects.exists()


def test_twice_is_once(part):
    """A second flag finds the first."""
    assert flag(part.pk, by="ann", words="longer") == flag(part.pk, by="bea", words="shorter")


def test_its_line_in_a_quote_is_special(part):
    """A flagged opening is quoted as a special to be priced, not as the part of the table."""
    flag(part.pk, by="ann", words="longer")
    (quote,) = begin_quotes(part.request_id, "ann")
    line = quote.issues.get().lines.get()
    assert (line.kind, line.unit_price, line.part) == ("special", None, None)


def test_the_form_keeps_what_was_typed(part, clerk):
    """Flagging without words comes back with the sentence beside the box."""
    page = clerk.post(f"/specials/opening/{part.pk}/", {"words": "", "do": "flag"})
    assert page.status_code == 422 and "say why it needs a special quote" in page.content.decode()


def test_what_nobody_wants_is_put_aside_before_its_factory_was_asked(part, clerk):
    """One press with the reason takes it off the list; no letter is written, and the opening stays as it is."""
    stairs = shop.take_request(shop.cottage_opening(), caller="Una Fell").openings.get()
    address = f"/specials/opening/{stairs.pk}/"
    assert "Nobody wants it any more" in clerk.get(address).text
    assert "Nobody wants it any more" not in clerk.get(f"/specials/opening/{part.pk}/").text
    refused = clerk.post(address, {"do": "aside", "why": " "})
    assert refused.status_code == 422 and "Say why it is put aside" in refused.text
    assert [one.opening for one in waiting()] == [stairs] and not Special.objects.exists()
    clerk.post(address, {"do": "aside", "why": "they keep the old sash"})
    assert waiting() == [] and not Letter.objects.exists()
    special = Special.objects.get()
    assert (special.state, special.events.last().why) == ("closed", "they keep the old sash")
