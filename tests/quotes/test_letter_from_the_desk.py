"""Where the desk asks about all of a request at once, and where it reads how each opening stands."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from quotes.desk.enquiries import remind
from quotes.desk.schedules import make_request
from quotes.desk.specials import close, flag
from quotes.lists.specials import of_request
from quotes.models import Enquiry, Letter, Special
from sizing.models import Factory
from tests.access.shop import schedule
from tests.quotes import letters, shop, specials

pytestmark = pytest.mark.usefixtures("built")


def build():
    specials.set_up()


def text(client: Client, path: str) -> str:
    return client.get(path).content.decode()


def press(client: Client, request, **more: str):
    return client.post(f"/requests/{request.pk}/ask/{Factory.objects.get().pk}/", more)


def test_the_requests_page(clerk):
    """One button asks about all; then each opening's state stands there, and no button."""
    request = letters.request_of(3)
    page = text(clerk, f"/requests/{request.pk}/")
    assert "Ask Otter Hollow Millwork about all 3" in page
    assert press(clerk, request).headers["Location"] == f"/requests/{request.pk}/"
    page = text(clerk, f"/requests/{request.pk}/")
    assert f"{Enquiry.objects.first()}, about 3 openings, is on its way" in page
    assert "about all" not in page and page.count("with the factory, answer by") == 3
    letters.send(
        Enquiry.objects.first(), letters.same(),
        letters.boxes(Enquiry.objects.first(), can_be_made="no"),
    )  # fmt: skip
    page = text(clerk, f"/requests/{request.pk}/")
    assert "2 with the factory" in page and "1 can&#x27;t be made" in page


def test_one_special_alone(clerk):
    """A single special is asked by the same button."""
    request = letters.request_of(1)
    assert "Ask Otter Hollow Millwork about 1 special<" in text(clerk, f"/requests/{request.pk}/")


def test_a_request_without_specials(clerk):
    """Nothing of it is shown where no factory has to be asked."""
    request = shop.take_request(shop.part_opening())
    assert 'id="specials"' not in text(clerk, f"/requests/{request.pk}/")


def test_the_schedules_page(clerk):
    """A request of a schedule has its button where its lines are."""
    made = schedule()
    request = make_request(made.pk, by="ann")
    answer = {"outcome": "special", "reason": "unequal_split"}
    request.openings.update(answer=answer, waits=True)
    assert "about 1 special<" in text(clerk, f"/schedules/{made.pk}/")


def test_the_list(clerk):
    """Where a request has several to ask, its lines ask about all of them, and the list comes back."""
    request, alone = letters.request_of(3), specials.cottage(caller="Ida Lorne")
    page = text(clerk, "/specials/")
    assert page.count("Ask about all 3<") == 3
    assert f'action="/specials/opening/{alone.pk}/ask/"' in page
    assert press(clerk, request, **{"from-list": "1"}).headers["Location"] == "/specials/"
    assert "about all" not in text(clerk, "/specials/")


def test_pressed_on_a_page_from_before(clerk):
    """Everything is asked already: it is said, and no letter goes out."""
    request = letters.request_of(3)
    press(clerk, request)
    press(clerk, request)
    assert f"Nothing of request {request.pk} waits" in text(clerk, f"/requests/{request.pk}/")
    assert Letter.objects.count() == 1


def test_where_an_opening_is_flagged(clerk):
    """Its words go along, the others with it; all in one transaction with the flag."""
    request = letters.request_of(3)
    opening = request.openings.first()
    path = f"/specials/opening/{opening.pk}/"
    assert "Ask about it and 2 more of this request" in text(clerk, path)
    answer = clerk.post(path, {"words": "longer by an inch", "do": "ask-all"})
    special = Special.objects.get(opening=opening)
    assert answer.headers["Location"] == f"/specials/{special.pk}/"
    assert letters.states(request) == ["asked"] * 3
    assert "  longer by an inch\n- Opening 2" in Letter.objects.get().body


def test_without_e_mail_the_flag_is_not_written(clerk):
    """Where the letter can't go nothing is flagged, and the words come back."""
    Factory.objects.update(email="")
    request = letters.request_of(2)
    path = f"/specials/opening/{request.openings.first().pk}/"
    page = clerk.post(path, {"words": "longer by an inch", "do": "ask-all"})
    assert page.status_code == 422 and "longer by an inch" in page.content.decode()
    assert not Special.objects.exists()


def test_on_a_flagged_special(clerk):
    """The words typed on its page are its own in the letter."""
    request = letters.request_of(3)
    special = flag(request.openings.first().pk, by="ann")
    assert "Ask about it and 2 more of this request" in text(clerk, f"/specials/{special.pk}/")
    clerk.post(f"/specials/{special.pk}/do/", {"do": "ask-all", "words": "longer by an inch"})
    special.refresh_from_db()
    assert (special.state, special.words) == ("asked", "longer by an inch")
    assert Letter.objects.get().body.count("longer by an inch") == 1


def test_put_aside_before_the_press(clerk):
    """Pressed for a special that was put aside meanwhile: it is said, and the others are not asked."""
    request = letters.request_of(3)
    special = flag(request.openings.first().pk, by="ann")
    close(special.pk, by="ann", why="sold")
    clerk.post(f"/specials/{special.pk}/do/", {"do": "ask-all", "words": ""})
    assert "can&#x27;t be asked about now" in text(clerk, f"/specials/{special.pk}/")
    assert not Letter.objects.exists()


def test_each_specials_page(clerk):
    """Every special of a letter shows its mails, whose first it is in, and the one link."""
    asked = letters.ask(letters.request_of(3))
    assert len(asked) == 3
    for enquiry in asked:
        page = text(clerk, f"/specials/{enquiry.special_id}/")
        assert "in one letter with 2 more" in page and "for 3 specials, from" in page
        assert f"{asked[0]} (PDF)" in page


def test_a_silent_factory_is_one_line(clerk):
    """The manager's first page counts a silent letter once, not by its openings."""
    asked = letters.ask(letters.request_of(3))
    Enquiry.objects.update(due_on="2026-01-05")
    assert remind(asked[0].pk)
    page = text(specials.manager(), "/")
    assert page.count("answer was due on") == 1
    assert f"{asked[0].special} and 2 more" in page


def test_as_many_questions_for_twenty_as_for_three(clerk):
    """What a request's page reads of its specials, and the list, cost the database the same however many there are."""

    def counted(act, *said) -> int:
        with CaptureQueriesContext(connection) as seen:
            act(*said)
        return len(seen)

    letters.ask(letters.request_of(1))
    clerk.get("/specials/")
    costs = []
    for count in (3, 20):
        request = letters.request_of(count)
        for _ in range(2):
            costs.append([counted(of_request, request.pk), counted(clerk.get, "/specials/")])
            if len(of_request(request.pk).to_ask):
                letters.ask(request)
    assert costs[0] == costs[2] and costs[1] == costs[3]
