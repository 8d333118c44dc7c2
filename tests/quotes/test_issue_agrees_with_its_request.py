"""A quote is not issued for what its openings no longer are, nor past a number that speaks against its part."""

import pytest
from django.core import mail
from django.db import OperationalError
from django.urls import reverse

from quotes.desk import issuing
from quotes.desk.drafts import QuoteError, change_line, next_issue
from quotes.desk.issuing import issue_quote
from quotes.desk.posting import send_quote, sweep
from quotes.desk.quoting import take_lines
from quotes.models import Opening, Shop
from sizing.models import Part
from tests.quotes.conftest import clerk_named
from tests.quotes.shop import draft_quote, issued_quote, opening, part_opening, set_up

pytestmark = pytest.mark.usefixtures("built")


def build():
    set_up()


def other_part(issue):
    return Part.objects.exclude(part_number=issue.lines.get().part.part_number).first()


def test_another_part_by_now():
    """The draft of a next issue holds the old part: it is taken anew first."""
    issued = issued_quote(part_opening())
    draft = next_issue(issued.quote_id)
    Opening.objects.update(part=other_part(draft))
    with pytest.raises(QuoteError, match="is no more: press “Take the lines anew"):
        issue_quote(draft.pk, "ann")
    assert "is no more" in issuing.differs(draft)[0]
    take_lines(draft)
    assert issuing.differs(draft) == []
    Opening.objects.update(override_part=draft.lines.get().part, override_reason="by the old one")
    take_lines(draft)
    assert issue_quote(draft.pk, "ann").issued_at


def test_no_window_is_like_this(client):
    """An opening lower than its glass is no offer, and its draft says so before anybody presses, unless
    somebody chose the part and says why."""
    issue = draft_quote(part_opening())
    client.force_login(clerk_named("mira"))
    address = reverse("quote", args=[issue.quote_id])
    assert "No window is like this" not in client.get(address).content.decode()
    Opening.objects.update(
        said=opening(upper_glass="25 1/2", lower_glass="25 1/2", opening="47 7/8").measures
    )
    with pytest.raises(QuoteError, match=r"No window is like this.*choose it yourself"):
        issue_quote(issue.pk, "ann")
    assert "No window is like this" in client.get(address).content.decode()
    Opening.objects.update(override_part=issue.lines.get().part, override_reason="by the old part")
    assert "No window is like this" not in client.get(address).content.decode()
    assert issue_quote(issue.pk, "ann").issued_at


def test_the_draft_says_where_it_differs(client):
    """Counts that differ, and openings that are in no line, stand on the page until they are settled."""
    issue = draft_quote(part_opening(quantity=3), opening("Porch", upper_glass="20 1/4"))
    line = issue.lines.get()
    change_line(line.pk, quantity=2, unit_price=None, description="", taxable=True)
    client.force_login(clerk_named("mira"))
    address = reverse("quote", args=[issue.quote_id])
    page = client.get(address).content.decode()
    assert "Line 1 counts 2, the openings it is for 3 in the request." in page
    assert "is left out" in page
    assert "is left out" in client.get(address).content.decode()


def test_one_press_is_kept_whole_or_not_at_all(client, monkeypatch):
    """Where issuing gives up half-way, the line typed with it is not kept either, as the page says."""
    issue = draft_quote(part_opening())
    client.force_login(clerk_named("mira"))

    def locked(*arguments):
        raise OperationalError("database is locked")

    monkeypatch.setattr(issuing, "issue_quote", locked)
    client.raise_request_exception = False
    line = issue.lines.get()
    said = {
        "do": "issue", "pickup": "on", "valid_days": "30", "note": "", "freight": "", "ship_to": "",
        f"line-{line.pk}-quantity": "1", f"line-{line.pk}-taxable": "on",
        "new-description": "Box of screws", "new-quantity": "1", "new-unit_price": "4.00",
    }  # fmt: skip
    answer = client.post(reverse("quote-draft", args=[issue.pk]), said)
    assert answer.status_code >= 500
    assert issue.lines.count() == 1


def test_an_answer_reaches_the_shop():
    """Who answers the mail of a quote writes to the shop, not to the address that sends."""
    Shop.objects.update_or_create(pk=1, defaults={"email": "counter@tarnbrook.example"})
    issued = issued_quote(part_opening())
    send_quote(issued.pk, "mara@quill.example", "ann")
    mail.outbox.clear()
    sweep()
    assert [message.reply_to for message in mail.outbox] == [["counter@tarnbrook.example"]]
