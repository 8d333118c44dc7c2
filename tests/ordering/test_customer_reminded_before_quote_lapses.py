"""Who got a quote by mail and has not answered is reminded once, a few days before it lapses."""

from datetime import datetime, time, timedelta

import pytest
import time_machine
from django.contrib.auth.models import Group
from django.core import mail
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone

from quotes.desk.accepting import accept, ask_for_changes, take_back
from quotes.desk.issuing import issue_quote
from quotes.desk.lapsing import remind_of_lapsing
from quotes.desk.posting import send_quote
from quotes.desk.shop import keep_shop
from quotes.links import address_of
from quotes.models import Customer, Letter
from tests.quotes import shop
from tests.quotes.conftest import clerk_named

# The worker opens connections of its own, so it sees only what was committed.
pytestmark = pytest.mark.django_db(transaction=True)
TO = "mara@quill.example"


@pytest.fixture
def issue():
    shop.set_up()
    keep_shop({"name": "Tarnbrook"})
    return shop.issued_quote()


@pytest.fixture
def mailed(issue):
    send_quote(issue.pk, TO, "ann")
    Letter.objects.update(sent_at=timezone.now())
    return issue


def at(issue, days, hour=9):
    """So many days before the quote's last day."""
    day = issue.valid_until - timedelta(days=days)
    return time_machine.travel(timezone.make_aware(datetime.combine(day, time(hour))), tick=False)


def written(issue, days=3):
    with at(issue, days):
        return remind_of_lapsing()


def test_the_worker_sends_one_mail(mailed):
    """With the day, what it is for and the page to answer on; the days after bring no second one."""
    for days in (5, 4, 3, 3, 2, 0):
        with at(mailed, days):
            call_command("work", once=True, verbosity=0)
            assert len(mail.outbox) == (days <= 3)
    (sent,) = mail.outbox
    assert sent.to == [TO] and "holds until" in sent.subject
    assert address_of(mailed) in sent.body and "1 pair of" in sent.body


def test_not_in_the_night(mailed):
    with at(mailed, 3, hour=2):
        call_command("work", once=True, verbosity=0)
    assert not mail.outbox


def test_in_the_customers_language(issue):
    """A Spanish quote is reminded of in Spanish."""
    draft = shop.draft_quote(shop.part_opening("Cocina"))
    Customer.objects.filter(pk=draft.quote.customer_id).update(language="es")
    spanish = issue_quote(draft.pk, "ann")
    send_quote(spanish.pk, TO, "ann")
    Letter.objects.update(sent_at=timezone.now())
    assert written(spanish) == 1
    letter = Letter.objects.latest("pk")
    assert "válida hasta el" in letter.subject and "ya no se puede aceptar" in letter.body


def test_who_got_nothing_by_mail_gets_nothing(issue):
    """Neither who was told by phone, nor who is still waiting for a letter that has not left."""
    assert written(issue) == 0
    send_quote(issue.pk, TO, "ann")
    assert written(issue) == 0


@pytest.mark.parametrize(
    "what",
    [
        lambda issue: accept(
            issue.pk, name="Mara", ticked=[one["name"] for one in issue.document["openings"]]
        ),
        lambda issue: ask_for_changes(issue.pk, name="Mara", measures={}, words="the other finish"),
        lambda issue: ask_for_changes(
            issue.pk, name="Mara", measures={}, words="which finish?", is_question=True
        ),
        lambda issue: take_back(issue.pk, "ann", "a wrong price"),
    ],
    ids=["accepted", "changes", "question", "taken back"],
)
def test_nobody_who_waits_for_us_or_has_answered(mailed, what):
    """Accepted, sent back, asked about or taken back: no reminder."""
    what(mailed)
    assert written(mailed) == 0


def test_who_was_written_to_these_days_is_not(mailed):
    """A quote mailed two days before is still known."""
    Letter.objects.update(created_at=timezone.now() + timedelta(days=28))
    assert (mailed.valid_until - timezone.localdate()).days == 30
    assert written(mailed, 1) == 0


def test_the_owner_switches_it_off(mailed, client):
    """On the page of the shop, where it is seen to be on."""
    ida = clerk_named("ida")
    ida.groups.add(Group.objects.create(name="owner"))
    client.force_login(ida)
    form = client.get(reverse("shop")).context["form"]
    assert form["remind_customers"].value() is True
    data = {name: form[name].value() or "" for name in form.fields}
    del data["remind_customers"]
    assert client.post(reverse("shop"), data).status_code == 302
    assert written(mailed) == 0
