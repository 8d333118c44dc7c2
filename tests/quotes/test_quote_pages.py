"""The desk's quote pages, from the request to the next issue."""

import re

import pytest
from django.urls import reverse

from quotes.models import Issue, Quote
from tests.quotes import shop
from tests.quotes.counter_page import page

pytestmark = pytest.mark.usefixtures("built")


def build():
    shop.set_up()


def fields(issue, do="save", **more):
    """A draft's form as the browser sends it."""
    data = {"pickup": "on", "valid_days": "30", "note": "", "freight": "", "do": do}
    for line in issue.lines.all():
        name = f"line-{line.pk}"
        data |= {
            f"{name}-quantity": str(line.quantity),
            f"{name}-taxable": "on",
            f"{name}-description": line.description,
            f"{name}-unit_price": "" if line.unit_price is None else str(line.unit_price),
        }
    return data | {"new-description": "", "new-quantity": "1", "new-unit_price": ""} | more


def test_from_the_request_to_an_issue(clerk):
    """Quote the request, price the special, add a line, issue: three presses."""
    request = shop.take_request(shop.part_opening(), shop.cottage_opening())
    shown = clerk.post(reverse("quote-from-request", args=[request.pk]), follow=True)
    issue = Issue.objects.get()
    assert "Draft" in shown.content.decode()
    special = issue.lines.get(kind="special")
    more = {
        f"line-{special.pk}-unit_price": "199.00",
        "new-description": "Drop-off",
        "new-unit_price": "12.50",
    }
    address = reverse("quote-draft", args=[issue.pk])
    shown = clerk.post(address, fields(issue, "issue", **more), follow=True)
    assert "is issued and holds until" in shown.content.decode()
    assert Issue.objects.get().document["sums"]["total"] == "290.10"


def test_get_makes_no_quote(clerk):
    """Following a link or a reload never makes a quote."""
    request = shop.take_request(shop.part_opening())
    assert clerk.get(reverse("quote-from-request", args=[request.pk])).status_code == 405
    assert not Quote.objects.exists()


def test_bad_numbers_come_back_as_typed(clerk):
    """A quantity that is none is named and nothing on the page is lost or half stored."""
    issue = shop.draft_quote()
    line = issue.lines.get()
    data = fields(issue, note="Ring twice", **{f"line-{line.pk}-quantity": "a few"})
    shown = clerk.post(reverse("quote-draft", args=[issue.pk]), data)
    assert shown.status_code == 422
    assert 'value="a few"' in shown.content.decode()
    assert "Ring twice" in shown.content.decode()
    issue.refresh_from_db()
    assert issue.note == ""


def test_what_cannot_be_issued_is_said(clerk):
    """A special without a price: the sentence names the line, what was typed is stored."""
    issue = shop.draft_quote(shop.cottage_opening())
    data = fields(issue, "issue", note="Ring twice")
    shown = clerk.post(reverse("quote-draft", args=[issue.pk]), data, follow=True)
    assert "Line 1 has no price yet" in shown.content.decode()
    issue.refresh_from_db()
    assert (issue.note, issue.issued_at) == ("Ring twice", None)


def test_a_line_is_taken_out(clerk):
    """The button beside a line takes out that line only."""
    issue = shop.draft_quote(shop.part_opening(), shop.cottage_opening())
    special = issue.lines.get(kind="special")
    clerk.post(reverse("quote-draft", args=[issue.pk]), fields(issue, f"remove-{special.pk}"))
    assert [line.kind for line in issue.lines.all()] == ["part"]


def test_the_next_issue_shows_what_changed(clerk):
    """Issue 2's page lists the changes; issue 1's page stays as issued."""
    first = shop.issued_quote()
    shown = clerk.post(reverse("quote-next", args=[first.quote_id]), follow=True)
    second = Issue.objects.get(number=2)
    line = second.lines.get()
    more = {f"line-{line.pk}-quantity": "4"}
    address = reverse("quote-draft", args=[second.pk])
    shown = clerk.post(address, fields(second, **more), follow=True)
    page = re.sub("</?span[^>]*>", "", shown.content.decode())
    assert "OHL-05LS: quantity was 1, now 4." in page
    shown = clerk.get(reverse("quote-issue", args=[first.quote_id, 1]))
    assert "As issued" in shown.content.decode()


@pytest.mark.parametrize("scrap", ["quill", "0117", "OHL-05LS", "1"])
def test_found_by_any_scrap(clerk, scrap):
    """A quote is found by its customer, phone, part or number."""
    shop.issued_quote()
    shown = clerk.get(reverse("quotes"), {"q": scrap})
    assert "Mara Quill" in shown.content.decode()


@pytest.mark.parametrize("ending", ["paper", "sheet"])
def test_papers_are_downloaded(clerk, ending):
    """A draft's papers can be looked at before they are issued."""
    issue = shop.draft_quote()
    shown = clerk.get(reverse(f"quote-{ending}", args=[issue.pk]))
    assert shown.status_code == 200
    assert "attachment" in shown["Content-Disposition"]


@pytest.mark.parametrize("name", ["quotes", "customers", "customer-new"])
def test_strangers_are_asked_to_sign_in(client, name):
    """The desk's pages are for the desk."""
    assert client.get(reverse(name)).status_code == 302


def test_one_press_saves_the_request_and_quotes_it(clerk):
    """The counter's button stores what was typed and goes to the draft quote."""
    opening = {"m-opening": "47 7/8", "m-upper_glass": "20 1/4", "m-lower_glass": "20 1/4"}
    fields = page({**opening, "m-sash_weight": "9", "finish": "slate"}, caller="Ida Wren")
    shown = clerk.post(reverse("counter"), {**fields, "do": "quote"}, follow=True)
    assert "Draft" in shown.content.decode()
    assert Quote.objects.get().customer.name == "Ida Wren"
