"""The page of a letter about several openings: some answered now, some later; each whole or not at all."""

from decimal import Decimal

import pytest
from django.test import Client

from quotes.desk.special_prices import price
from quotes.desk.specials import close
from quotes.models import Enquiry
from tests.quotes import letters, specials
from tests.quotes.letters import boxes, page, same, send

pytestmark = pytest.mark.usefixtures("built")


def build():
    specials.set_up()
    return letters.ask(letters.request_of(3))


@pytest.fixture
def asked(built):
    return built


def fresh(asked):
    return [Enquiry.objects.get(pk=one.pk) for one in asked]


def states(asked):
    return letters.states(asked[0].special.request)


def test_some_now_some_later(asked):
    """What is sent is kept at once, and the page stays open for the rest."""
    assert send(asked[0], same(), boxes(asked[1], unit_cost="131.40")).status_code == 302
    assert states(asked) == ["asked", "answered", "asked"]
    words = page(asked[0])
    assert "Thank you: 1 of 3 is answered" in words and "131.40 USD" in words
    assert f'name="{asked[1].pk}-unit_cost"' not in words
    later = boxes(asked[0], unit_cost="99"), boxes(asked[2], can_be_made="no", remarks="too low")
    assert send(asked[0], same(), *later).status_code == 302
    assert states(asked) == ["answered", "answered", "refused"]


def test_any_of_its_links_opens_all(asked):
    """Whichever enquiry a link was made from, the same letter opens."""
    assert len({letters.address(one) for one in fresh(asked)}) == 1


def test_what_is_the_same_is_typed_once(asked):
    """Weeks, date and currency typed for all count where an opening says nothing else."""
    own = boxes(asked[1], unit_cost="7", weeks_min="9", weeks_max="12", currency="CAD")
    send(asked[0], same(), boxes(asked[0], unit_cost="5"), own)
    one, other, _ = fresh(asked)
    assert (one.cost_words, one.lead_words) == ("5.00 USD", "5 to 6 working weeks")
    assert (other.cost_words, other.lead_words) == ("7.00 CAD", "9 to 12 working weeks")
    assert one.valid_until == other.valid_until


def test_own_weeks_against_the_same(asked):
    """One bound of its own and the other from all must still fit together."""
    answer = send(asked[0], same(), boxes(asked[0], unit_cost="5", weeks_min="8"))
    assert "At most 6 is less than at least 8" in answer.content.decode()
    assert states(asked) == ["asked"] * 3


def test_half_filled_comes_back_and_the_others_are_kept(asked):
    """A price that can't be read: its opening comes back as typed, whole ones are kept, blank ones are left."""
    wrong = boxes(asked[1], unit_cost="a lot", remarks="<b>by truck</b>")
    answer = send(asked[0], same(), boxes(asked[0], unit_cost="5"), wrong)
    words = answer.content.decode()
    assert answer.status_code == 422 and states(asked) == ["answered", "asked", "asked"]
    assert "1 answer is kept, this is not yet" in words
    assert (
        f"Opening 2 of request {asked[0].special.request_id}: Type the price as a number" in words
    )
    assert 'value="a lot"' in words and "&lt;b&gt;by truck" in words
    second = fresh(asked)[1]
    assert (second.answered_at, second.remarks) == (None, "")


@pytest.mark.parametrize(
    "changed, words",
    [
        ({"name": ""}, "Type your name"),
        ({"same-weeks_max": "4"}, "At most 4 is less than at least 5"),
        ({"same-weeks_min": "soon"}, "whole weeks"),
        ({"same-valid_until": "2020-01-01"}, "That day is past"),
        ({"same-currency": "XXX"}, "is no currency"),
    ],
)
def test_wrong_for_all_keeps_nothing(asked, changed, words):
    """Where the name or what counts for all is wrong nothing is kept, and all that was typed is there."""
    answer = send(asked[0], same(**changed), boxes(asked[0], unit_cost="131.45"))
    assert answer.status_code == 422 and states(asked) == ["asked"] * 3
    assert words in answer.content.decode() and 'value="131.45"' in answer.content.decode()


def test_missing_weeks_are_asked_for_at_the_opening(asked):
    """Neither for all nor of its own: the sentence leads to the opening's own box."""
    answer = send(asked[0], same(**{"same-weeks_min": ""}), boxes(asked[1], unit_cost="5"))
    assert f'<a href="#id_{asked[1].pk}-weeks_min">' in answer.content.decode()


def test_nothing_answered_is_said(asked):
    """Sent with a name alone: one sentence, nothing kept."""
    answer = send(asked[0], same(), *(boxes(one) for one in asked))
    assert (
        answer.status_code == 422
        and "Nothing is answered yet: choose for" in answer.content.decode()
    )
    assert states(asked) == ["asked"] * 3


def test_sent_twice_is_once(asked):
    """The same page sent again says thank you and leaves one line in the history."""
    typed = same(), boxes(asked[0], unit_cost="131.40")
    assert [send(asked[0], *typed).status_code for _ in range(2)] == [302, 302]
    assert specials.happened(asked[0].special).count("factory answered") == 1


def test_two_on_one_link(asked):
    """Who answers what a colleague has answered meanwhile is told of it, keeps the words, and may replace it."""
    send(asked[0], same(), boxes(asked[0], unit_cost="100"))
    late = same(name="Kit Rowan"), boxes(asked[0], unit_cost="120"), boxes(asked[2], unit_cost="80")
    answer = send(asked[0], *late)
    words = answer.content.decode()
    assert answer.status_code == 422 and 'value="120"' in words
    assert "Jo Marsh has answered this meanwhile: 100.00 USD per pair" in words
    assert [one.cost_words for one in fresh(asked)] == ["100.00 USD", "", "80.00 USD"]
    seen = fresh(asked)[0].answered_at.isoformat()
    assert f'name="{asked[0].pk}-seen" value="{seen}"' in words
    send(asked[0], same(name="Kit Rowan"), boxes(asked[0], seen=seen, unit_cost="120"))
    assert fresh(asked)[0].cost_words == "120.00 USD"


def test_half_filled_beside_a_colleagues_answer(asked):
    """Mended and sent again, words that could not be read still do not replace an answer that was not shown."""
    send(asked[0], same(), boxes(asked[0], unit_cost="100"))
    answer = send(asked[0], same(), boxes(asked[0], unit_cost="a lot")).content.decode()
    assert f'name="{asked[0].pk}-seen" value=' not in answer.replace(' value=""', "")
    send(asked[0], same(), boxes(asked[0], unit_cost="120"))
    assert fresh(asked)[0].cost_words == "100.00 USD"


def test_a_colleagues_answer_is_not_touched_by_a_blank_form(asked):
    """A page from before the first was answered, sent with the second alone, leaves the first as it is."""
    send(asked[0], same(), boxes(asked[0], unit_cost="100"))
    answer = send(asked[0], same(), boxes(asked[0]), boxes(asked[1], unit_cost="80"))
    assert answer.status_code == 302
    assert [one.cost_words for one in fresh(asked)] == ["100.00 USD", "80.00 USD", ""]


def test_an_answer_is_corrected(asked):
    """The link at an answer brings its boxes back, filled; the corrected one counts."""
    send(asked[0], same(), boxes(asked[0], unit_cost="100"), boxes(asked[1], unit_cost="80"))
    words = page(asked[0], f"?correct={asked[0].pk}")
    assert f'name="{asked[0].pk}-unit_cost" value="100"' in words
    assert f'name="{asked[1].pk}-unit_cost"' not in words
    seen = fresh(asked)[0].answered_at.isoformat()
    send(asked[0], same(), boxes(asked[0], seen=seen, can_be_made="no", unit_cost="100"))
    first = fresh(asked)[0]
    assert (first.can_be_made, first.unit_cost, states(asked)[0]) == (False, None, "refused")


@pytest.mark.parametrize("settled", ["priced", "closed"])
def test_settled_meanwhile_is_said(asked, settled):
    """What the desk has priced or put aside takes no answer: the words come back, the others are kept."""
    if settled == "priced":
        send(asked[0], same(), boxes(asked[0], unit_cost="100"))
        price(asked[0].special_id, None, by="ann", is_manager=True)
    else:
        close(asked[0].special_id, by="ann", why="sold")
    late = boxes(asked[0], unit_cost="120.55", remarks="sooner"), boxes(asked[1], unit_cost="80")
    answer = send(asked[0], same(), *late)
    words = answer.content.decode()
    assert answer.status_code == 422 and "The desk has settled this one" in words
    assert "You had typed: <bdi>120.55; sooner</bdi>" in words
    assert [one.cost_words for one in fresh(asked)][1:] == ["80.00 USD", ""]
    assert fresh(asked)[0].cost_words == ("100.00 USD" if settled == "priced" else "")


def test_each_is_decided_alone(asked):
    """The manager prices one while the factory still has the others."""
    send(asked[0], same(), boxes(asked[1], unit_cost="100"))
    price(asked[1].special_id, None, by="oswin", is_manager=True)
    assert states(asked) == ["asked", "quoted", "asked"]
    send(asked[0], same(), boxes(asked[0], unit_cost="50"))
    assert fresh(asked)[0].unit_cost.amount == Decimal(50)


def test_all_settled_the_page_has_no_boxes(asked):
    """Nothing left to answer: no button, no boxes, every answer to read."""
    send(asked[0], same(), *(boxes(one, unit_cost="100") for one in asked))
    for one in asked:
        price(one.special_id, None, by="ann", is_manager=True)
    words = page(asked[0])
    assert "<button" not in words and words.count("The desk has settled this one") == 3


def test_the_paper_shows_all(asked):
    """The PDF behind the link is the letter's, whichever of them it is asked by."""
    response = Client().get(letters.address(asked[0]) + "enquiry.pdf")
    assert response["Content-Disposition"] == f'inline; filename="enquiry-{asked[0].number}.pdf"'
