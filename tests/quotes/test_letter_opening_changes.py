"""An opening taken out, mended, asked anew or put aside after its letter went out: nothing to answer, and said."""

import pytest

from quotes.desk.enquiries import ask_factory
from quotes.desk.specials import EnquiryError, close
from quotes.lists.specials import waiting
from quotes.models import Enquiry, Letter
from tests.quotes import letters, specials
from tests.quotes.letters import boxes, page, same, send
from tests.quotes.specials import take_answer

pytestmark = pytest.mark.usefixtures("built")


def build():
    specials.set_up()
    return letters.ask(letters.request_of(2))


@pytest.fixture
def asked(built):
    return built


def take_out(enquiry):
    enquiry.special.opening.delete()


def mend(enquiry):
    letters.change(enquiry.special.opening, lower_glass="25")


def ask_anew(enquiry):
    ask_factory(enquiry.special_id, by="ann")


def put_aside(enquiry):
    close(enquiry.special_id, by="ann", why="sold")


BECOMES = [
    (take_out, "It is not needed any more"),
    (mend, "Its measures have changed since we asked"),
    (ask_anew, "We have asked about this one anew since: please answer by the later letter"),
    (put_aside, "The desk has settled this one"),
]


@pytest.mark.parametrize("becomes, words", BECOMES)
def test_its_page_says_so(asked, becomes, words):
    """No boxes for it, one sentence why; the other one is answered as ever."""
    becomes(asked[0])
    shown = page(asked[0])
    assert words in shown
    assert f'name="{asked[0].pk}-unit_cost"' not in shown
    assert f'name="{asked[1].pk}-unit_cost"' in shown


@pytest.mark.parametrize("becomes, words", BECOMES)
def test_a_page_from_before(asked, becomes, words):
    """Sent from a page that still had the boxes: not kept, the words come back; the other is kept."""
    becomes(asked[0])
    answer = send(
        asked[0], same(), boxes(asked[0], unit_cost="131.45"), boxes(asked[1], unit_cost="8")
    )
    said = answer.content.decode()
    assert answer.status_code == 422 and words in said
    assert "You had typed: <bdi>131.45</bdi>" in said
    first, second = (Enquiry.objects.get(pk=one.pk) for one in asked)
    assert (first.answered_at, second.cost_words) == (None, "8.00 USD")


@pytest.mark.parametrize("becomes, words", BECOMES)
def test_half_filled_from_before(asked, becomes, words):
    """Even what could not be read comes back with the reason why it is not wanted."""
    becomes(asked[0])
    said = send(asked[0], same(), boxes(asked[0], unit_cost="a lot")).content.decode()
    assert words in said and "You had typed: <bdi>a lot</bdi>" in said


def test_alone_it_is_the_same():
    """A letter about one opening whose measures changed takes no answer either."""
    enquiry = specials.asked()
    mend(enquiry)
    assert "Its measures have changed since we asked" in page(enquiry)
    with pytest.raises(EnquiryError, match="we write to you again"):
        take_answer(enquiry.pk, specials.usual_answer())


def test_mended_back_it_is_asked_as_before(asked):
    """Measures typed back to what was asked make it answerable again."""
    mend(asked[0])
    letters.change(asked[0].special.opening, lower_glass="24")
    assert send(asked[0], same(), boxes(asked[0], unit_cost="9")).status_code == 302


@pytest.mark.parametrize(
    "becomes, state, to_ask",
    [
        (mend, "measures changed since it was asked", True),
        (take_out, "its opening was taken out", False),
    ],
)
def test_the_desk_reads_it(asked, becomes, state, to_ask):
    """The list says what became of it, since no answer can come any more."""
    becomes(asked[0])
    line = next(line for line in waiting() if line.special == asked[0].special)
    assert (line.state, line.to_ask) == (state, to_ask)


def test_asked_anew_it_leaves_its_letter(asked):
    """Its new letter has a link of its own, and the old one goes on for the other."""
    again = ask_factory(asked[0].special_id, by="ann")
    assert letters.address(again) != letters.address(asked[1]) and again.number != asked[0].number
    assert Letter.objects.count() == 2
    assert list(asked[1].in_one_letter()) == asked and list(again.in_one_letter()) == [again]
