"""Nothing that somebody typed adds a header or a receiver to a mail."""

import pytest
from django.core import mail

from ordering.models import Notice
from ordering.sending import sweep
from quotes.desk.posting import send_letter, send_quote
from quotes.models import Customer, Letter
from tests.ordering.placed import load_shop, placed_order, user
from tests.quotes.shop import issued_quote

EVIL = "Mara\r\nBcc: all@evil.example\r\n\r\nWin"


def headers_of(sent) -> list[tuple[str, str]]:
    return sent.message().items()


@pytest.mark.parametrize(
    "name", [EVIL, "Mara\nBcc: all@evil.example", "Mara\x0bBcc: a@evil.example"]
)
def test_letter(db, name):
    """A customer's name with line breaks stays a name: the letter has one receiver and no new header."""
    load_shop()
    letter = send_quote(issued_quote(caller=name).pk, "mara@quill.example", "ann")
    send_letter.call(letter.pk)
    (sent,) = mail.outbox
    assert sent.recipients() == ["mara@quill.example"]
    assert not {"bcc", "cc"} & {key.lower() for key, _ in headers_of(sent)}
    assert all("\n" not in value and "\r" not in value for _, value in headers_of(sent))


def test_letter_subject(db):
    """A line break in a stored subject is never sent on: the letter waits with the reason."""
    load_shop()
    letter = send_quote(issued_quote().pk, "mara@quill.example", "ann")
    Letter.objects.filter(pk=letter.pk).update(subject=EVIL)
    send_letter.call(letter.pk)
    assert mail.outbox == []
    letter.refresh_from_db()
    assert (letter.sent_at, "BadHeaderError" in letter.last_error) == (None, True)


def test_notice(db):
    """The same of a notice about an order."""
    load_shop()
    order = placed_order()
    Customer.objects.update(name=EVIL)
    Notice.objects.update(subject=EVIL, sent_at=None, taken_at=None, attempts=0)
    sweep()
    assert mail.outbox == []
    assert Notice.objects.get(event__order=order).sent_at is None


@pytest.mark.parametrize(
    "to", ["mara@quill.example\nBcc: a@evil.example", "a@x.example, b@y.example", "nobody"]
)
def test_receiver(client, db, to):
    """An address that is not exactly one is refused on the page."""
    load_shop()
    client.force_login(user())
    page = client.post(f"/quotes/issued/{issued_quote().pk}/send/", {"to": to})
    assert page.status_code == 422
    assert not Letter.objects.exists()
