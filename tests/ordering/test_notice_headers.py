"""A notice says what it is: sent by a machine, answered by a clerk, plain text beside HTML."""

import pytest

from ordering.events import place_from_quote
from ordering.models import Notice
from ordering.sending import message_of
from quotes.models import Customer
from tests.ordering.placed import CLERK, accepted_quote, load_shop

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()


def notice_for(name="Mara Quill"):
    quote = accepted_quote()
    Customer.objects.filter(pk=quote.customer_id).update(name=name)
    place_from_quote(quote.pk, CLERK)
    return Notice.objects.get()


def test_headers():
    """Auto-Submitted by RFC 3834, Reply-To the clerk, its own Message-ID, and both kinds of text."""
    notice = notice_for()
    mail = message_of(notice).message()
    assert mail["Auto-Submitted"] == "auto-generated"
    assert mail["Reply-To"] == "ann@tarnbrook.example"
    assert mail["To"] == "mara@quill.example"
    assert mail["Message-ID"] == notice.message_id
    assert [part.get_content_type() for part in mail.walk()] == [
        "multipart/alternative", "text/plain", "text/html",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "name",
    ["Mara\r\nBcc: all@x.example", "Mara\nX: 1", "Mara\u2028Bcc: a@x", "=?utf-8?q?M=0ABcc:_a?="],
)
def test_no_header_can_be_smuggled_in(name, monkeypatch):
    """A line break in a customer's name never begins a header of its own."""
    from ordering.events.texts import keep_text
    from ordering.notices import Kind, Text
    from tests.ordering.placed import MANAGER

    keep_text(Kind.PLACED, Text("For {customer}: {order}", "{link}"), MANAGER)
    mail = message_of(notice_for(name)).message()
    assert mail["Bcc"] is None and mail["X"] is None
    head = mail.as_bytes().split(b"\n\n")[0]
    assert not [line for line in head.splitlines() if line.lower().startswith((b"bcc:", b"x:"))]


def test_html_shows_words_as_words():
    """Markup in a name is shown, not obeyed; the page's address is a link."""
    notice = notice_for('<img src=x onerror="alert(1)">')
    assert "<img" not in notice.html and "&lt;img" in notice.html
    (html, _) = message_of(notice).alternatives[0]
    assert '<a href="http://127.0.0.1:8000/o/' in html and "<img" not in html
