"""What is mailed to a factory goes to more of its people, too, if the manager has said who."""

import pytest
from django.core import mail
from django.urls import reverse

from ordering.sending import sweep
from quotes.desk.posting import sweep as sweep_letters
from sizing.models import Factory
from tests.ordering.placed import load_shop, sent_order, user
from tests.quotes import specials
from tests.quotes.counter_page import words_of

pytestmark = pytest.mark.django_db
MAIN, SAW, BOOKS = (
    "orders@otterhollow.example",
    "saw@otterhollow.example",
    "books@otterhollow.example",
)


@pytest.fixture
def page(client):
    load_shop()
    client.force_login(user("max", "manager"))

    def save(copies, email=MAIN):
        address = reverse("factory", args=[Factory.objects.get().pk])
        said = {
            "email": email,
            "copies_to": copies,
            "contact": "Jo",
            "country": "US",
            "region": "VT",
        }
        return client.post(address, said)

    return save


@pytest.mark.parametrize("typed", [f"{SAW}, {BOOKS}", f" {SAW}\n;{BOOKS} {SAW},{MAIN.upper()}"])
def test_orders_and_enquiries(page, typed):
    """Each address once, with the mail itself; a customer's mail is theirs alone."""
    assert page(typed).status_code == 302
    sent_order()
    specials.asked()
    sweep()
    sweep_letters()
    theirs = [message for message in mail.outbox if message.to == [MAIN]]
    assert len(theirs) == 2
    assert all(message.cc == [SAW, BOOKS] for message in theirs)
    assert all(not message.cc for message in mail.outbox if message not in theirs)


def test_who_got_them_is_written_down(page, client):
    """The order, the factory order and the special say to whom their mail went, also once others get copies."""
    page(f"{SAW}, {BOOKS}")
    _, sent = sent_order()
    special = specials.asked().special
    sweep()
    sweep_letters()
    page("new@otterhollow.example")
    copies = f"to {MAIN}, copies to {SAW}, {BOOKS}"
    shown = {
        "factory-order": (sent.pk, f"Factory order: sent {{}}, {copies}."),
        "special": (special.pk, f"to {MAIN}: sent {{}}, copies to {SAW}, {BOOKS}"),
    }
    for name, (pk, words) in shown.items():
        before, after = words.split("{}")
        said = words_of(client.get(reverse(name, args=[pk]))).replace(" ,", ",").replace(" .", ".")
        assert before in said and after in said, name


def test_customers_mail_says_to_whom(page, client):
    """The order's own record names the customer's address."""
    page(SAW)
    order, _ = sent_order()
    sweep()
    said = words_of(client.get(reverse("order", args=[order.pk]))).replace(" ,", ",")
    to = order.events.first().notices.get().to
    assert f", to {to}" in said and SAW not in said


def test_nobody_said(page):
    assert page("").status_code == 302
    sent_order()
    sweep()
    assert all(not message.cc for message in mail.outbox)


@pytest.mark.parametrize(
    ("typed", "email", "words"),
    [
        ("saw at otterhollow", MAIN, "“saw” is no e-mail address."),
        (SAW, "", "Type where the mail itself goes first."),
        (
            ", ".join(f"n{n}@otterhollow.example" for n in range(6)),
            MAIN,
            "6 are too many: type 5 at most.",
        ),
        (f"{SAW}\r\nBcc: x@y.example", MAIN, "“Bcc:” is no e-mail address."),
    ],
)
def test_what_is_no_address(page, typed, email, words):
    """One sentence at the box, and nothing is kept."""
    answer = page(typed, email)
    assert answer.status_code == 422 and words in answer.content.decode()
    assert Factory.objects.get().copies == []
