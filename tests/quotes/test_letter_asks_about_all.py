"""What of one request goes to one factory is asked in one letter with one link, by one press."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from quotes.desk import enquiries as desk
from quotes.desk.enquiries import ask_about, ask_all
from quotes.desk.special_prices import price
from quotes.desk.specials import EnquiryError, close, flag
from quotes.lists.specials import waiting
from quotes.models import Enquiry, Letter, Opening, Special
from sizing.models import Factory, Revision
from tests.quotes import letters, shop, specials
from tests.quotes.specials import take_answer

pytestmark = pytest.mark.usefixtures("built")


def build():
    specials.set_up()


def places(asked: list[Enquiry]) -> list[int]:
    return [one.special.opening.position + 1 for one in asked]


def test_one_letter_with_all():
    """Three unequal splits: three specials, one mail, one number; a part of the table is not asked about."""
    request = shop.take_request(
        shop.cottage_opening("A"), shop.part_opening(), shop.cottage_opening("B"), shop.cottage_opening("C")
    )  # fmt: skip
    asked = letters.ask(request)
    assert places(asked) == [1, 3, 4] and letters.states(request) == ["asked"] * 3
    (letter,) = Letter.objects.all()
    assert letter.enquiry == asked[0] and letter.subject.startswith(f"{asked[0]} for 3 specials")
    assert len({one.number for one in asked}) == len({one.due_on for one in asked}) == 1
    for place in (1, 3, 4):
        assert f"- Opening {place} of request {request.pk}: 1 pair of " in letter.body
    assert "Opening 2" not in letter.body


def test_each_special_tells_of_it():
    """Each one's history says that it was asked, and in which letter."""
    asked = letters.ask(letters.request_of(3))
    assert len(asked) == 3
    for one in asked:
        assert specials.happened(one.special) == ["flagged", "factory asked"]
        assert f"3 openings in one letter, {asked[0]}" in one.special.events.last().why


def test_one_alone_is_asked_as_ever():
    """A letter about one opening reads as an enquiry of its own."""
    (one,) = letters.ask(letters.request_of(1))
    letter = Letter.objects.get()
    assert letter.subject.startswith(f"{one} for a special") and "openings" not in letter.body
    assert one.asked_with is None


def test_pressed_twice():
    """The second press finds nothing left to ask, and no second letter goes out."""
    request = letters.request_of(3)
    letters.ask(request)
    with pytest.raises(EnquiryError, match="Nothing of request"):
        letters.ask(request)
    assert Letter.objects.count() == 1


def test_what_is_asked_already_is_left_alone():
    """Asked about singly, answered or put aside: none of these goes into the letter."""
    request = letters.request_of(5)
    openings = list(request.openings.all())
    ask_about(openings[0].pk, by="ann")
    take_answer(ask_about(openings[1].pk, by="ann").pk, specials.usual_answer())
    close(flag(openings[2].pk, by="ann").pk, by="ann", why="sold")
    assert places(letters.ask(request)) == [4, 5]


def test_flagged_by_hand_goes_with_them():
    """A clerk's own flag on a part goes along with its words, which stand beside its opening."""
    request = shop.take_request(shop.part_opening(), shop.cottage_opening())
    flag(request.openings.first().pk, by="ann", words="rotten sill, longer by an inch")
    assert places(letters.ask(request)) == [1, 2]
    body = Letter.objects.get().body
    assert "  rotten sill, longer by an inch\n- Opening 2" in body


def test_changed_since_it_was_asked_or_priced():
    """A window that is another one by now is asked about again: the old enquiry closes."""
    request = letters.request_of(3)
    first = letters.ask(request)
    take_answer(first[1].pk, specials.usual_answer())
    price(first[1].special_id, None, by="ann", is_manager=True)
    for place in (0, 1):
        opening = request.openings.get(position=place)
        letters.change(opening, lower_glass="25")
        Opening.objects.filter(pk=opening.pk).update(waits=True)
    again = letters.ask(request)
    assert places(again) == [1, 2] and again[0].special == first[0].special
    assert [one.closed_at is None for one in first[0].in_one_letter()] == [False, False, True]


def test_taken_out_is_not_asked_about():
    """A flagged special whose opening is gone has nothing to make, in a letter or alone."""
    request = letters.request_of(3)
    gone = flag(request.openings.first().pk, by="ann")
    request.openings.first().delete()
    assert places(letters.ask(request)) == [2, 3]
    with pytest.raises(EnquiryError, match="was taken out of the request"):
        desk.ask_factory(gone.pk, by="ann")


def test_each_factory_its_own():
    """Openings that another factory makes stay for its own letter."""
    request = letters.request_of(3)
    other = Factory.objects.create(name="Fen Street Works", email="desk@fenstreet.example")
    revision = Revision.objects.get()
    own = Revision.objects.create(
        family=revision.family, factory=other, number=9, name=revision.name, unit="in",
        weight_unit="lb", currency="USD", lead_weeks_min=4, lead_weeks_max=8, digest="x",
    )  # fmt: skip
    Opening.objects.filter(request=request, position=1).update(revision=own)
    asked = list(ask_all(request.pk, revision.factory_id, by="ann")[0].in_one_letter())
    assert places(asked) == [1, 3]
    assert [line.factory for line in waiting(request=request.pk) if line.to_ask] == [other.pk]


def test_without_e_mail_nothing_is_written():
    """A factory that can't be written to: one sentence, and no special, enquiry or letter."""
    Factory.objects.update(email="")
    request = letters.request_of(3)
    with pytest.raises(EnquiryError, match="has no e-mail for enquiries"):
        letters.ask(request)
    assert not Special.objects.exists() and not Enquiry.objects.exists()


def test_more_than_anybody_reads(monkeypatch):
    """A very long schedule becomes several letters, none of them longer than the limit."""
    monkeypatch.setattr(desk, "MOST_IN_A_LETTER", 4)
    request = letters.request_of(9)
    made = ask_all(request.pk, Factory.objects.get().pk, by="ann")
    assert [one.in_one_letter().count() for one in made] == [4, 4, 1]
    assert Letter.objects.count() == 3


def test_as_many_questions_for_thirty_as_for_five():
    """Asking, the factory's page and an answer to all cost the database the same, however many there are."""

    def counted(act) -> int:
        with CaptureQueriesContext(connection) as seen:
            act()
        return len(seen)

    def costs(count: int) -> list[int]:
        request, asked = letters.request_of(count), []
        asking = counted(lambda: asked.extend(letters.ask(request)))
        page = counted(lambda: letters.page(asked[0]))
        said = [letters.boxes(one, unit_cost="100") for one in asked]
        answering = counted(lambda: letters.send(asked[0], letters.same(), *said))
        assert letters.states(request) == ["answered"] * count
        return [asking, page, answering]

    costs(2)
    assert costs(5) == costs(30)
