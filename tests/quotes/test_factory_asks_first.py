"""A factory that has a question asks it on the page of its link; the desk reads it, answers, and is answered."""

from datetime import timedelta

import pytest
import time_machine
from django.contrib.auth.models import User
from django.test import Client
from django.utils import timezone

from ordering.lists.today import start_of_day
from ordering.lists.watch import watch_list
from quotes.desk.enquiries import ask_factory, remind
from quotes.desk.factory_questions import ENOUGH, MOST_QUESTIONS
from quotes.desk.specials import close
from quotes.enquiries import next_reminder
from quotes.lists.specials import waiting
from quotes.models import FactoryQuestion, Letter
from sizing.workdays import calendar_of
from tests.ordering.placed import user
from tests.quotes import letters, specials
from tests.quotes.conftest import clerk_named
from tests.quotes.test_enquiry_answered import typed

pytestmark = pytest.mark.usefixtures("built")
GLASS = "Is the glass <tempered>?"


def build():
    specials.set_up()


@pytest.fixture
def enquiry(db):
    clerk_named("ann", email="ann@tarnbrook.example")
    return specials.asked()


def ask(enquiry, question=GLASS, **more):
    return letters.send(enquiry, {"name": "Jo Marsh", "question": question, "do": "ask", **more})


def desk():
    client = Client()
    client.force_login(User.objects.get(username="ann"))
    return client


def reply(enquiry, words="No, annealed."):
    asked = FactoryQuestion.objects.latest("pk")
    data = {"do": "reply", "question": asked.pk, "words": words}
    return desk().post(f"/specials/{enquiry.special_id}/do/", data, follow=True)


def watched():
    return [one.item.why for one in watch_list()]


def test_it_is_kept_and_shown(enquiry):
    """On the factory's page, on the special's, on the watch list, first pages and the list of specials."""
    page = ask(enquiry).content.decode()
    assert "Is the glass &lt;tempered&gt;?" in page and "We have it and will answer" in page
    assert "Send the answer" in page
    shown = desk().get(f"/specials/{enquiry.special_id}/").content.decode()
    assert "of Otter Hollow Millwork asks" in shown and "Is the glass &lt;tempered&gt;?" in shown
    assert enquiry.special.events.last().what == "factory asks"
    words = f"Jo Marsh, Otter Hollow Millwork, asks about {enquiry.special}: {GLASS}"
    assert watched() == [words]
    assert "Is the glass &lt;tempered&gt;?" in desk().get("/watch/").content.decode()
    for role in ("counter", "manager"):
        (heading,) = [h for h in start_of_day({role}) if h.words == "Factories ask or refuse"]
        assert heading.count == 1
        assert heading.lines[0].url == f"/specials/{enquiry.special_id}/"
    (line,) = waiting()
    assert line.state == "the factory has a question"


def test_who_may_not_answer_is_led_nowhere(enquiry):
    """Who answers the phone reads it on the watch list, without a link to the special."""
    ask(enquiry)
    client = Client()
    client.force_login(user("sam", "staff"))
    page = client.get("/watch/").content.decode()
    assert "Is the glass &lt;tempered&gt;?" in page and "/specials/" not in page


def test_the_desk_has_it_by_mail(enquiry):
    """Whoever asked the factory; the mail leads to the special, not to the factory's page."""
    ask(enquiry)
    letter = Letter.objects.latest("pk")
    assert letter.to == "ann@tarnbrook.example"
    assert letter.subject == f"Jo Marsh, Otter Hollow Millwork, asks about enquiry {enquiry.number}"
    assert GLASS in letter.body and f"/specials/{enquiry.special_id}/" in letter.body
    assert letter.enquiry is None and not letter.with_papers


def test_without_an_address_of_its_own_the_shop_has_it(enquiry, settings):
    User.objects.update(email="")
    ask(enquiry)
    assert Letter.objects.latest("pk").to == settings.DEFAULT_FROM_EMAIL


def test_what_was_typed_as_an_answer_stays_in_its_boxes(enquiry):
    """Asking sends no answer and loses none."""
    page = ask(enquiry, **{k: v for k, v in typed(weeks_min="6-7").items() if k != "name"})
    html = page.content.decode()
    assert page.status_code == 200
    for box in ('value="131.40"', 'value="6-7"', 'value="Jo Marsh"', "checked"):
        assert box in html, box
    enquiry.refresh_from_db()
    assert enquiry.answered_at is None


def test_sent_with_an_answer_both_are_kept(enquiry):
    """Whichever button is pressed, what was asked is not lost."""
    assert letters.send(enquiry, typed(question=GLASS)).status_code == 302
    enquiry.refresh_from_db()
    assert enquiry.answered_at and FactoryQuestion.objects.get().words == GLASS
    assert [one.what for one in enquiry.special.events.all()][-2:] == [
        "factory asks", "factory answered",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"name": " "}, "Type your name."),
        ({"question": " "}, "Type your question."),
        ({"question": "x" * 2001}, "2001 characters are too many: shorten it to 2000"),
    ],
)
def test_what_is_missing_is_said(enquiry, changed, sentence):
    """One sentence, once, and what was typed stays."""
    page = ask(enquiry, **{"question": GLASS, **changed})
    html = page.content.decode()
    assert page.status_code == 422 and html.count(sentence) == 1
    assert changed.get("question", "tempered").strip() in html
    assert not FactoryQuestion.objects.exists()


def test_a_missing_name_is_asked_for_once_beside_an_answer(enquiry):
    page = letters.send(enquiry, typed(question=GLASS, name=""))
    assert page.content.decode().count("Type your name.</a>") == 1
    assert not FactoryQuestion.objects.exists()


def test_the_desk_answers(enquiry):
    """By mail with both words and the page's link; the question is off all lists and on the page with its answer."""
    ask(enquiry)
    page = reply(enquiry, "No,\r\nannealed.").content.decode()
    assert "Answered by ann" in page
    letter = Letter.objects.latest("pk")
    assert letter.to == specials.FACTORY and letter.enquiry == enquiry and not letter.with_papers
    assert f"> {GLASS}" in letter.body and "No,\nannealed." in letter.body
    assert watched() == [] and waiting()[0].state == "with the factory"
    page = letters.page(enquiry)
    assert "annealed." in page and "Send the answer" in page
    assert specials.happened(enquiry.special)[-1] == "question answered"
    # Pressed again there is nothing to answer.
    assert "waits for no answer any more" in reply(enquiry).content.decode()
    assert Letter.objects.latest("pk") == letter


def test_answered_on_the_phone(enquiry):
    """Without words nothing is mailed; the page only no longer says that it waits."""
    ask(enquiry)
    count = Letter.objects.count()
    assert "Dealt with by ann" in reply(enquiry, " ").content.decode()
    assert Letter.objects.count() == count
    assert "We have it and will answer" not in letters.page(enquiry)


def test_another_specials_question_is_not_answered_here(enquiry):
    other = specials.asked(caller="Ida Lorne", email="ida@lorne.example")
    ask(other)
    assert "waits for no answer" in reply(enquiry).content.decode()
    assert FactoryQuestion.objects.get().done_at is None


def test_who_asks_is_not_reminded(enquiry):
    """Nor called silent; once answered the reminders go on."""
    ask(enquiry)
    first = next_reminder(enquiry.due_on, 0, calendar_of("US", "VT"))
    with time_machine.travel(first):
        assert not remind(enquiry.pk)
        assert not waiting()[0].overdue
        reply(enquiry)
    with time_machine.travel(next_reminder(first, 0, calendar_of("US", "VT"))):
        assert waiting()[0].overdue and remind(enquiry.pk)


def test_about_several_in_one_letter():
    """Each special of the letter shows it; one answer does for all."""
    clerk_named("ann", email="ann@tarnbrook.example")
    one, other = letters.ask(letters.request_of(2))
    page = ask(other, **letters.boxes(other, unit_cost="90")).content.decode()
    assert "We have it and will answer" in page and 'value="90"' in page
    assert [line.state for line in waiting()] == ["the factory has a question"] * 2
    assert watched() and len(watched()) == 1
    reply(other)
    for special in (one.special, other.special):
        assert specials.happened(special)[-2:] == ["factory asks", "question answered"]
        assert "annealed" in desk().get(f"/specials/{special.pk}/").content.decode()


@pytest.mark.parametrize("how", ["put aside", "asked anew"])
def test_what_is_over_waits_for_nobody(enquiry, how):
    """The question stays in what happened, and the page takes none any more but gives the words back."""
    ask(enquiry)
    if how == "put aside":
        close(enquiry.special_id, by="ann", why="sold the house")
    else:
        ask_factory(enquiry.special_id, by="ann", words="tempered, please")
    assert watched() == [] and "the factory has a question" not in [w.state for w in waiting()]
    page = ask(enquiry, "And the finish?")
    assert page.status_code == 422 and "And the finish?" in page.content.decode()
    assert FactoryQuestion.objects.count() == 1
    assert "factory asks" in specials.happened(enquiry.special)


def test_sent_twice_it_is_one_and_many_are_refused(enquiry):
    ask(enquiry)
    ask(enquiry)
    assert FactoryQuestion.objects.count() == 1
    for n in range(1, MOST_QUESTIONS):
        ask(enquiry, f"Question {n}?")
    page = ask(enquiry, "One more?")
    assert page.status_code == 422 and ENOUGH in page.content.decode()
    assert "One more?" in page.content.decode()
    assert FactoryQuestion.objects.count() == MOST_QUESTIONS


def test_the_oldest_comes_first(enquiry):
    """By the working days that it waits."""
    ask(enquiry)
    other = specials.asked(caller="Ida Lorne", email="ida@lorne.example")
    FactoryQuestion.objects.update(at=timezone.now() - timedelta(days=10))
    ask(other, "Which stop?")
    first, second = watched()
    assert GLASS in first and "Which stop?" in second
