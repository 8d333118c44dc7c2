"""A letter brings its words as HTML, too, marked with the language that its reader reads."""

from html import escape

import pytest
from django.core import mail

from quotes.desk.enquiries import ask_about
from quotes.desk.posting import send_quote, sweep
from quotes.desk.special_prices import price
from quotes.links import address_of
from tests.quotes import shop, specials

pytestmark = pytest.mark.django_db
TO = "mara@quill.example"


def sent(to):
    """(plain text, HTML) of the one mail that goes there."""
    sweep()
    (message,) = [one for one in mail.outbox if one.to == [to]]
    (html,) = [part.content for part in message.alternatives if part.mimetype == "text/html"]
    return message.body, html


def test_a_quote():
    """Each line of the plain text, and the link to press."""
    shop.load_liner()
    shop.load_prices()
    issue = shop.issued_quote()
    send_quote(issue.pk, TO, "ann")
    text, html = sent(TO)
    link = address_of(issue)
    assert '<html lang="en">' in html and f'<a href="{link}">{link}</a>' in html
    assert all(escape(line) in html for line in text.splitlines() if link not in line)


def test_a_special():
    """The factory is asked in English; the customer reads of the price in Spanish."""
    specials.set_up()
    opening = shop.take_request(shop.cottage_opening(), language="es").openings.get()
    enquiry = ask_about(opening.pk, by="ann")
    assert '<html lang="en">' in sent(specials.FACTORY)[1]
    special = specials.take_answer(enquiry.pk, specials.usual_answer())
    price(special.pk, None, by="ann", is_manager=True)
    text, html = sent(TO)
    assert "la fábrica" in text and '<html lang="es">' in html
