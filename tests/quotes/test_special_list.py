"""The manager's list: everything that is not settled, by age, with its reason."""

import pytest
from moneyed import Money

from quotes.desk.accepting import accept
from quotes.desk.enquiries import ask_about
from quotes.desk.quoting import begin_quotes
from quotes.desk.requests import save_request
from quotes.desk.special_prices import price
from quotes.desk.specials import close
from quotes.lists.issues import document_of
from quotes.lists.requests import said_of
from quotes.lists.specials import waiting
from quotes.models import Opening, QuoteLine, Request
from tests.quotes import shop, specials
from tests.quotes.specials import take_answer

pytestmark = pytest.mark.usefixtures("built")


def build():
    specials.set_up()


def change(opening: Opening, **measures: str) -> None:
    """The clerk types other measures."""
    request = Request.objects.get(pk=opening.request_id)
    said = said_of(request)
    (first,) = said.openings
    fresh = first.__class__(**{**vars(first), "measures": {**first.measures, **measures}})
    whole = said.__class__(**{**vars(said), "openings": (fresh,)})
    save_request(whole, by="bea", pk=request.pk, version=request.version)
    opening.refresh_from_db()


def test_a_special_answer_comes_by_itself():
    """An opening that no table answers stands on the list as soon as it is saved."""
    opening = specials.cottage()
    (line,) = waiting()
    assert (line.opening, line.reason_words, line.state) == (
        opening,
        "unequal split",
        "to be asked",
    )


def test_a_part_does_not_come():
    """What the table answers is nobody's special."""
    shop.take_request(shop.part_opening())
    assert waiting() == []


def test_a_clerks_own_part_settles_it():
    """An opening for which a clerk took a part is not waited for."""
    opening = specials.cottage()
    part = opening.revision.parts.exclude(part_number="").first()
    Opening.objects.filter(pk=opening.pk).update(override_part=part)
    assert waiting() == []


def test_priced_by_hand_and_accepted_it_is_settled():
    """A special that the desk priced itself is left alone once its quote is accepted, not before."""
    shop.load_prices()
    issue = shop.issued_quote(shop.cottage_opening())
    assert len(waiting()) == 1
    accept(issue.pk, name="Mara Quill", ticked=[s.name for s in document_of(issue).openings])
    assert waiting() == []


def test_the_oldest_first():
    """Asked or not, what waits longest stands first."""
    specials.asked(caller="first")
    specials.cottage(caller="second")
    specials.asked(caller="third")
    assert next(line.caller for line in waiting()) == "first"
    assert sorted(line.since for line in waiting()) == [line.since for line in waiting()]


def test_what_was_put_aside_stays_away():
    """A closed special does not come back by itself."""
    close(specials.asked().special_id, by="ann", why="sold the house")
    assert waiting() == []


def test_changed_measures_bring_a_priced_one_back():
    """Once the window is another one, the price is for something else and the list says so."""
    special = specials.answered()
    price(special.pk, None, by="ann", is_manager=False)
    assert waiting() == []
    change(special.opening, lower_glass="25")
    (line,) = waiting()
    assert line.state == "measures changed since it was priced"


def test_a_stale_price_never_stays_in_a_draft():
    """Taken anew from the request, a line whose window has changed has no price until it is asked again."""
    special = specials.answered()
    price(special.pk, None, by="ann", is_manager=False)
    line = QuoteLine.objects.get()
    begin_quotes(special.request_id, "ann")
    line.refresh_from_db()
    assert line.unit_price == 140
    change(special.opening, lower_glass="25")
    begin_quotes(special.request_id, "ann")
    line.refresh_from_db()
    assert (line.unit_price, line.factory_cost, line.lead_words) == (None, None, "")


def test_asked_again_the_new_price_counts():
    """The changed window is asked about anew and its own price goes into the same line."""
    special = specials.answered()
    price(special.pk, None, by="ann", is_manager=False)
    change(special.opening, lower_glass="25")
    enquiry = ask_about(special.opening_id, by="ann")
    assert enquiry.special != special and waiting()[0].special == enquiry.special
    cost = specials.usual_answer(unit_cost=Money("200.00", "USD"))
    price(take_answer(enquiry.pk, cost).pk, None, by="ann", is_manager=True)
    assert QuoteLine.objects.get().unit_price == 280 and waiting() == []


def test_the_page_has_one_press_for_each(clerk):
    """A line that is not asked yet brings the button that asks."""
    opening = specials.cottage()
    page = clerk.get("/specials/").content.decode()
    assert f'action="/specials/opening/{opening.pk}/ask/"' in page and "unequal split" in page


def test_the_page_says_once_that_measures_changed(clerk):
    """The special's page says that its measures are others by now; asked anew, the new one takes over."""
    opening = specials.cottage()
    special = ask_about(opening.pk, by="ann").special
    take_answer(special.enquiry.pk, specials.usual_answer())
    price(special.pk, None, by="ann", is_manager=True)
    change(opening, lower_glass="24 1/4")
    words = "The measures have changed since the factory was asked"
    assert words in clerk.get(f"/specials/{special.pk}/").content.decode()
    ask_about(opening.pk, by="ann")
    assert words not in clerk.get(f"/specials/{special.pk}/").content.decode()
