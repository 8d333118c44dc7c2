"""One press sends an enquiry: a letter with paper and link, of which only a hash is kept."""

import datetime
import io
import re

import pytest
import time_machine
from django.core import mail
from django.core.management import call_command
from django.db import connection
from django.test import Client
from pypdf import PdfReader

from quotes.desk.enquiries import ask_about, ask_factory
from quotes.desk.specials import EnquiryError
from quotes.links import factory_address
from quotes.models import Enquiry, Letter, Special
from sizing.models import Factory
from tests.quotes import shop, specials

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def set_up(transactional_db):
    specials.set_up()


def work():
    call_command("db_worker", batch=True, interval=0, verbosity=0)


def open_page(enquiry):
    return Client().get(factory_address(enquiry).split("8000")[-1])


def test_the_letter_has_link_and_paper():
    """The worker sends it to the factory's address; the paper says measures and questions."""
    enquiry = specials.asked()
    work()
    (sent,) = mail.outbox
    assert sent.to == [specials.FACTORY] and factory_address(enquiry) in sent.body
    ((name, content, kind),) = sent.attachments
    assert (name, kind) == (f"enquiry-{enquiry.special_id:05d}-1.pdf", "application/pdf")
    text = " ".join(PdfReader(io.BytesIO(content)).pages[0].extract_text().split())
    for words in ("16 in", "24 in", "unequal split", "Your price for one pair", "Jo Marsh"):
        assert words in text


def test_the_press_on_the_page(clerk):
    """The list's button asks and leads to the special."""
    opening = specials.cottage()
    response = clerk.post(f"/specials/opening/{opening.pk}/ask/")
    special = Special.objects.get()
    assert response.headers["Location"] == f"/specials/{special.pk}/"
    assert specials.happened(special) == ["flagged", "factory asked"]


def test_pressed_twice_the_first_link_closes():
    """Asking again writes a second letter with a new link; the first opens no form any more."""
    first = specials.asked()
    second = ask_factory(first.special_id, by="ann")
    assert Letter.objects.count() == 2 and first.token_hash != second.token_hash
    assert "please answer by the later letter" in open_page(first).content.decode()
    assert "Send the answer" in open_page(second).content.decode()


def test_the_database_does_not_hold_the_token():
    """Only the hash is stored with the enquiry."""
    enquiry = specials.asked()
    token = re.search(r"for-the-factory/([^/]+)/", factory_address(enquiry)).group(1)
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM quotes_enquiry")
        assert token not in str(cursor.fetchall())
    assert len(token) == 43


def test_the_link_expires():
    """Weeks after the answer was due the link opens nothing."""
    enquiry = specials.asked()
    late = datetime.datetime.combine(enquiry.due_on, datetime.time(), datetime.UTC)
    for days, status in ((40, 200), (60, 404)):
        with time_machine.travel(late + datetime.timedelta(days=days)):
            assert open_page(enquiry).status_code == status


@pytest.mark.parametrize("token", ["x", "A" * 43, "a" * 500])
def test_a_guessed_link_opens_nothing(token):
    """A token that was never given out is told nothing but how to get a right one."""
    specials.asked()
    response = Client().get(f"/for-the-factory/{token}/")
    assert response.status_code == 404 and "opens no enquiry" in response.content.decode()


def test_a_factory_without_e_mail_is_said():
    """Nothing is flagged or written when there is nowhere to write to."""
    Factory.objects.update(email="")
    opening = shop.take_request(shop.cottage_opening()).openings.get()
    with pytest.raises(EnquiryError, match="has no e-mail for enquiries"):
        ask_about(opening.pk, by="ann")
    assert (
        not Enquiry.objects.exists()
        and not Special.objects.exists()
        and not Letter.objects.exists()
    )


def test_the_customers_name_stays_at_the_desk():
    """The factory reads the window and not who lives behind it."""
    enquiry = specials.asked(caller="Mara Quill")
    page = open_page(enquiry).content.decode()
    assert "Mara" not in page and "mara@" not in page and "Mara" not in str(enquiry.document)


def test_the_factory_reads_of_no_row_of_the_table():
    """What fits no size is what is wanted: the paper doubts no measure for it."""
    tall = shop.opening(
        "Mill", upper_glass="52", lower_glass="52", opening="111 1/2", sash_weight="9"
    )
    opening = shop.take_request(tall).openings.get()
    assert opening.answer["reason"] == "off_table"
    asked = ask_about(opening.pk, by="ann").asked()
    assert not any(measure.doubtful for measure in asked.opening.measures)
    assert "does not fit" not in str(asked.to_plain())
    assert [m.understood for m in asked.opening.measures][:2] == ["52 in", "52 in"]
