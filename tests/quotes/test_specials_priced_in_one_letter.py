"""What a factory answered of one request is told to the customer in one letter, once all of it is priced."""

import pytest

from quotes.desk import enquiries as desk
from quotes.desk import specials as flagged
from quotes.desk.issuing import issue_quote
from quotes.desk.special_prices import price
from quotes.models import Letter, QuoteLine
from tests.quotes import shop, specials
from tests.quotes.specials import take_answer

pytestmark = pytest.mark.usefixtures("built")
CUSTOMER = "mara@quill.example"


def build():
    """Two specials of one request, both answered."""
    specials.set_up()
    openings = shop.take_request(shop.cottage_opening(), shop.cottage_opening()).openings.all()
    return [
        take_answer(desk.ask_about(one.pk, by="ann").pk, specials.usual_answer())
        for one in openings
    ]


@pytest.fixture
def two(built):
    return built


def priced(special):
    return price(special.pk, None, by="ann", is_manager=True)


def letters() -> list[Letter]:
    return list(Letter.objects.filter(to=CUSTOMER))


def test_one_letter_names_both(two):
    """Nothing goes out after the first; after the second one letter has both, and each says so."""
    priced(two[0])
    assert letters() == []
    priced(two[1])
    (letter,) = letters()
    assert letter.subject.startswith("Your specials are priced")
    assert letter.body.count("140.00 USD per pair") == 2
    assert "Opening 1" in letter.body and "Opening 2" in letter.body
    assert [specials.happened(one)[-1] for one in two] == ["customer told"] * 2


def close(special):
    flagged.close(special.pk, by="ann", why="not wanted any more")


def ask_again(special):
    desk.ask_factory(special.pk, by="ann")


def cannot(special):
    take_answer(special.enquiry.pk, specials.usual_answer(can_be_made=False))


@pytest.mark.parametrize("settle", [close, ask_again, cannot])
def test_the_other_waits_no_more(two, settle):
    """Put aside, asked again or taken back by the factory, the other holds the letter no longer."""
    priced(two[0])
    settle(two[1])
    (letter,) = letters()
    assert letter.subject.startswith("Your special is priced")
    assert letter.body.count("140.00 USD per pair") == 1


def test_later_answer_has_its_own(two):
    """What is priced after the letter is told in the next one, alone."""
    ask_again(two[1])
    priced(two[0])
    take_answer(two[1].enquiry.pk, specials.usual_answer())
    priced(two[1])
    first, second = letters()
    assert "Opening 1" in first.body and "Opening 2" not in first.body
    assert "Opening 2" in second.body and "Opening 1" not in second.body


def test_gone_out_with_the_quote(two):
    """A price that the customer has in an issued quote is not announced afterwards."""
    priced(two[0])
    draft = QuoteLine.objects.filter(specials=two[0]).get().issue
    for line in draft.lines.filter(unit_price=None):
        line.delete()
    issue_quote(draft.pk, "ann")
    close(two[1])
    assert letters() == []
