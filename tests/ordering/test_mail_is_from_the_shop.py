"""A mail is from the shop by its name, and from the address that the desk sends with."""

from email import policy
from email.parser import Parser

import pytest
from django.core import mail

from ordering.models import Notice
from ordering.sending import message_of
from quotes.desk.posting import send_letter, send_quote
from quotes.desk.shop import keep_shop
from quotes.models import Issue
from tests.ordering.placed import load_shop, placed_order

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()
    placed_order()


@pytest.mark.parametrize("name", ["Tarnbrook Sash Parts", "Hüls, Sons & Co.", 'The "Old" Sash'])
@pytest.mark.parametrize("kind", ["notice", "letter"])
def test_a_mail_is_from_the_shop(name, kind, settings):
    """Who gets a quote or a notice reads the shop's name in their list of mails."""
    settings.DEFAULT_FROM_EMAIL = "desk@tarnbrook.example"
    keep_shop({"name": name})
    if kind == "notice":
        message = message_of(Notice.objects.get())
    else:
        send_letter.func(send_quote(Issue.objects.get().pk, "mara@quill.example", "ann").pk)
        (message,) = mail.outbox
    head = f"From: {message.message()['From']}\n\n"
    (read,) = Parser(policy=policy.default).parsestr(head)["From"].addresses
    assert (read.display_name, read.addr_spec) == (name, "desk@tarnbrook.example")


def test_an_installation_may_name_the_sender_itself(settings):
    """A name in DEFAULT_FROM_EMAIL counts before the shop's."""
    settings.DEFAULT_FROM_EMAIL = "The order desk <desk@tarnbrook.example>"
    keep_shop({"name": "Tarnbrook Sash Parts"})
    assert message_of(Notice.objects.get()).message()["From"] == settings.DEFAULT_FROM_EMAIL
