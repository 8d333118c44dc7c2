"""The customer accepts by an unguessable link."""

import datetime
import re

import pytest
import time_machine
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from quotes.desk import drafts, issuing
from quotes.desk.accepting import NotOpenError, accept, let_stand
from quotes.links import find_issue, hash_of, token_of
from quotes.lists.issue_states import state_of
from quotes.models import Acceptance, Issue, Link
from sizing.models import Family
from sizing.tables import stop_offering
from tests.quotes import shop

pytestmark = pytest.mark.usefixtures("built")


def build():
    shop.set_up()


@pytest.fixture
def issue(built):
    return shop.issued_quote(shop.part_opening(), shop.cottage_opening())


@pytest.fixture
def token(issue):
    return token_of(issue.link.nonce)


def press(client, token, name="Mara Quill", ticks=(0, 1), what="quote-accept", **more):
    data = {"name": name, **{f"tick-{at}": "yes" for at in ticks}, **more}
    return client.post(reverse(what, args=[token]), data, follow=True)


def test_accepted_with_all_ticks_and_a_name(issue, token, client):
    """All openings ticked and a name typed: accepted, and the page says by whom and when."""
    page = press(client, token)
    stored = Acceptance.objects.get()
    assert (stored.issue, stored.name, stored.how, stored.taken_by) == (
        issue,
        "Mara Quill",
        "link",
        "",
    )
    assert stored.ticked == ["Opening 1, Kitchen", "Opening 2, Stairs"]
    assert "Accepted by Mara Quill, by the link, on " in page.content.decode()


@pytest.mark.parametrize(
    ("name", "ticks", "words"),
    [
        ("Mara", (0,), "Tick the measures of <bdi>Opening 2, Stairs</bdi>"),
        ("Mara", (), "Tick the measures of <bdi>Opening 1, Kitchen</bdi>"),
        ("", (0, 1), "Type your name"),
        ("   ", (0, 1), "Type your name"),
    ],
)
def test_what_is_missing_is_said_and_nothing_lost(token, client, name, ticks, words):
    """A tick or the name missing: nothing is accepted, the page says what, ticks and name stay."""
    page = press(client, token, name, ticks)
    html = page.content.decode()
    assert page.status_code == 422
    assert words in html
    assert len(re.findall('value="yes" checked', html)) == len(ticks)
    assert not Acceptance.objects.exists()


def test_a_second_person_gets_the_truth(token, client):
    """Somebody who presses later is shown who accepted and when; the first acceptance stands."""
    press(client, token)
    page = press(Client(), token, "Otto Late")
    assert page.status_code == 200
    assert "Accepted by Mara Quill" in page.content.decode()
    assert Acceptance.objects.get().name == "Mara Quill"


def test_changes_send_it_back_to_the_desk(issue, token, client):
    """What the customer says is different stands for the desk; nobody can accept meanwhile."""
    page = press(
        client, token, what="quote-change",
        **{"measures-1": "the upper glass is 16 1/2", "words": "Ring me."},
    )  # fmt: skip
    html = page.content.decode()
    assert "Mara Quill asked for changes" in html and "What you asked" in html
    assert "the upper glass is 16 1/2" in html and "Ring me." in html
    asked = issue.changes_asked.get()
    assert asked.measures == [
        {"opening": "Opening 2, Stairs", "words": "the upper glass is 16 1/2"}
    ]
    press(client, token)
    assert not Acceptance.objects.exists()
    let_stand(issue.quote_id, "ann")
    press(client, token)
    assert Acceptance.objects.exists()


def test_changes_without_words_are_asked_for(token, client, issue):
    """An empty form sends nothing back and says so."""
    page = press(client, token, what="quote-change")
    assert page.status_code == 422
    assert "Say what is different" in page.content.decode()
    assert state_of(issue).word == "open"


def test_accepting_with_a_difference_typed_is_asked_about(token, client):
    """Words on what is different beside the press on Accept: nothing is accepted, nothing typed is lost."""
    page = press(client, token, **{"measures-1": "the lower glass is 24 1/4"})
    html = page.content.decode()
    assert page.status_code == 422 and not Acceptance.objects.exists()
    assert (
        "You typed a question or what is different" in html and "the lower glass is 24 1/4" in html
    )
    assert len(re.findall('value="yes" checked', html)) == 2
    assert 'value="Mara Quill"' in html


def test_sending_back_without_a_name_keeps_the_ticks(token, client, issue):
    """The two buttons share one form: whichever is pressed, all that was typed and ticked stays."""
    page = press(client, token, "", (1,), what="quote-change", words="Ring me <b>soon</b>.")
    html = page.content.decode()
    assert page.status_code == 422 and "Type your name" in html
    assert len(re.findall('value="yes" checked', html)) == 1
    assert "Ring me &lt;b&gt;soon&lt;/b&gt;." in html
    assert state_of(issue).word == "open"


def test_words_that_come_too_late_are_shown(token, client, issue):
    """Sent back after somebody accepted: the page says that the words did not arrive, and shows them."""
    press(client, token)
    page = press(client, token, "Otto Late", what="quote-change", words="The upper one is 17.")
    html = page.content.decode()
    assert page.status_code == 409
    assert "This came too late" in html and "The upper one is 17." in html
    assert "Accepted by Mara Quill" in html and not issue.changes_asked.exists()


def test_the_customer_sees_what_changed(issue, client):
    """The page of the next issue says what is not as in the one before."""
    second = drafts.next_issue(issue.quote_id)
    line = second.lines.first()
    drafts.change_line(line.pk, quantity=3, unit_price=None, description="", taxable=True)
    issuing.issue_quote(second.pk, "ann")
    link = Link.objects.get(issue=second)
    page = client.get(reverse("quote-public", args=[token_of(link.nonce)])).content.decode()
    assert "OHL-05LS: quantity was 1, now 3." in re.sub("</?span[^>]*>", "", page)


def test_a_replaced_issue_is_not_accepted(issue, token, client):
    """Once issue 2 is out, the link of issue 1 accepts nothing and says so."""
    issuing.issue_quote(drafts.next_issue(issue.quote_id).pk, "ann")
    page = press(client, token)
    assert "Replaced by issue 2." in page.content.decode()
    assert not Acceptance.objects.exists()


def test_a_lapsed_issue_is_not_accepted(issue, token, client):
    """The day after it held, the page says that it lapsed."""
    with time_machine.travel(timezone.now() + datetime.timedelta(days=31)):
        page = press(client, token)
        assert "It held until" in page.content.decode()
    assert not Acceptance.objects.exists()


def test_what_is_not_made_any_more_is_not_accepted(issue, token, client):
    """Given up by its factory while the quote held: the page says so and lets the customer ask for another."""
    family = stop_offering(Family.objects.get(), timezone.localdate())
    page = press(client, token)
    assert "has not been made since" in page.content.decode()
    assert not Acceptance.objects.exists()
    assert state_of(issue).word == "lapsed"
    stop_offering(family, None)
    assert state_of(issue).can_be_accepted


def test_a_link_expires(issue, token, client):
    """Months after the quote lapsed its link opens nothing."""
    assert find_issue(token) == issue
    with time_machine.travel(issue.link.expires_at + datetime.timedelta(seconds=1)):
        assert find_issue(token) is None
        assert client.get(reverse("quote-public", args=[token])).status_code == 404


@pytest.mark.parametrize(
    "change", [lambda t: t[:-1], lambda t: t + "A", lambda t: "A" * 43, lambda t: "é"]
)
def test_another_token_opens_nothing(token, client, change):
    """A token cut, grown, or made up opens no quote and tells nothing."""
    page = client.get(reverse("quote-public", args=[change(token)]))
    assert page.status_code == 404
    assert "Quill" not in page.content.decode()


def test_the_token_is_not_stored(issue, token):
    """256 bits, and only their hash in the database."""
    link = Link.objects.get()
    assert len(token) == 43
    assert token not in (link.nonce, link.token_hash)
    assert link.token_hash == hash_of(token)


def test_the_address_goes_to_nobody_else(token, client):
    """No referrer, no cache, no index, no cookie for the customer."""
    page = client.get(reverse("quote-public", args=[token]))
    assert page["Referrer-Policy"] == "no-referrer"
    assert "no-store" in page["Cache-Control"]
    assert "noindex" in page["X-Robots-Tag"]
    assert not page.cookies


def test_works_where_a_browser_sends_no_origin(token):
    """With no referrer a browser's origin is null: the customer can accept all the same."""
    client = Client(enforce_csrf_checks=True)
    page = client.post(
        reverse("quote-accept", args=[token]),
        {"name": "Mara", "tick-0": "yes", "tick-1": "yes"},
        headers={"origin": "null"},
    )
    assert page.status_code == 302
    assert Acceptance.objects.exists()


def test_a_draft_is_not_accepted():
    """What was not issued cannot be accepted."""
    issue = shop.draft_quote()
    with pytest.raises(NotOpenError, match="Not issued yet"):
        accept(issue.pk, name="Mara", ticked=[])
    assert Issue.objects.count() == 1


@pytest.mark.parametrize("name", ["quote-accept", "quote-change"])
def test_the_address_of_a_refused_form_leads_to_the_quote(name, token, client):
    """Whoever keeps or forwards what stands in the browser after a refusal gets the quote, no bare refusal."""
    assert press(client, token, ticks=(), what=name).status_code == 422
    answer = client.get(reverse(name, args=[token]))
    assert (answer.status_code, answer.url) == (302, reverse("quote-public", args=[token]))
    assert client.get(reverse(name, args=["x" * 43])).status_code == 404
