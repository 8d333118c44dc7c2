"""Whoever reads the rows of the mails, or a copy of the database, gets no link out of them."""

from importlib import import_module

import pytest
from django.apps import apps
from django.core import mail
from django.core.mail.backends.locmem import EmailBackend
from django.utils import timezone

from ordering import sending
from ordering.links import page_of, page_of_factory
from ordering.models import FactoryOrder, Notice, Order
from quotes.desk import posting
from quotes.links import address_of, invitation_address
from quotes.models import Invitation, Issue, Letter
from quotes.post import LINK, LONGEST_WAIT


def words_of_rows() -> str:
    rows = [*Letter.objects.values_list("subject", "body")]
    rows += Notice.objects.values_list("subject", "body", "html")
    return "\n".join(words for row in rows for words in row)


def test_rows_name_no_page(built, db):
    """Sent or not, a row says that there was a link, and no address."""
    assert LINK in words_of_rows()
    posting.sweep(), sending.sweep()
    assert mail.outbox and "://" not in words_of_rows()


def test_mails_lead_to_their_pages(built, db):
    """What is sent leads to the very page, in the plain text and in HTML."""
    posting.sweep(), sending.sweep()
    said = "\n".join(str(sent.message()) for sent in mail.outbox).replace("=\n", "")
    pages = [address_of(issue) for issue in Issue.objects.filter(letters__isnull=False)]
    pages += [page_of(order) for order in Order.objects.all()]
    pages += [page_of_factory(order) for order in FactoryOrder.objects.all()]
    pages += [invitation_address(asked) for asked in Invitation.objects.all()]
    assert len(pages) >= 4 and [page for page in pages if page not in said] == []
    assert LINK not in said
    assert f'<a href="{page_of(Order.objects.first())}">' in said


def test_second_attempt(built, db, monkeypatch):
    """Tried again after the server refused, it is the same mail: its Message-ID and its link."""
    tried = []

    def refuse(self, messages):
        tried.extend(message.message().as_string() for message in messages)
        raise OSError("refused")

    with monkeypatch.context() as patched:
        patched.setattr(EmailBackend, "send_messages", refuse)
        assert sending.sweep() == 0
    Notice.objects.update(taken_at=timezone.now() - LONGEST_WAIT)
    sending.sweep()
    notice = Notice.objects.exclude(event=None).exclude(to="").first()
    (again,) = [
        sent for sent in mail.outbox if sent.extra_headers["Message-ID"] == notice.message_id
    ]
    assert page_of(notice.event.order) in again.body
    assert any(notice.message_id in first for first in tried)


@pytest.mark.parametrize(
    "app",
    [
        "quotes.migrations.0003_links_out_of_letters",
        "ordering.migrations.0002_links_out_of_notices",
    ],
)
def test_rows_written_before(app, built, db):
    """Rows of an earlier version lose their links when the database is brought up to date."""
    page = page_of(Order.objects.first())
    html = f'<p><a href="{page}">{page}</a></p>'
    Notice.objects.update(body=f"See\n{page}\n", html=html, subject=page)
    Letter.objects.update(body=f"See\n{page}\n")
    import_module(app).forget_tokens(apps, None)
    changed = Letter if "quotes" in app else Notice
    assert set(changed.objects.values_list("body", flat=True)) == {f"See\n{LINK}\n"}
    if changed is Notice:
        assert set(Notice.objects.values_list("html", "subject")) == {(f"<p>{LINK}</p>", LINK)}
