"""Once something was sent, the cursor stands on what was done or what needs mending, not on the page's body."""

from django.urls import reverse
from playwright.sync_api import expect

from quotes.links import token_of
from tests.browser.days import open_shop
from tests.ordering.placed import sent_order
from tests.quotes import shop


def standing(page) -> str:
    """The words of what has the focus; none where that is the page's body."""
    page.wait_for_load_state()
    return page.evaluate(
        "document.activeElement === document.body ? '' : document.activeElement.innerText"
    )


def test_saved_issued_accepted_placed(page):
    """Each step of a quote leaves the cursor on the words that say what was done."""
    issue = shop.draft_quote()
    page.goto(f"/quotes/{issue.quote_id}/")
    assert standing(page) == ""
    page.locator("button", has_text="Save and work out").press("Enter")
    expect(page.locator(".messages")).to_be_focused()
    assert standing(page) == "Saved and worked out below."
    page.locator("#id_pickup").check()
    page.locator("[name=do][value=issue]").press("Enter")
    page.wait_for_selector("text=is issued and holds until")
    assert "is issued" in standing(page)
    page.locator("#id_measures_read_out").press("Space")
    page.keyboard.press("Control+Shift+Enter")
    page.wait_for_selector("text=is accepted for")
    assert "is accepted for Mara Quill." in standing(page)
    page.keyboard.press("Control+Shift+Enter")
    page.wait_for_selector("text=is placed.")
    assert "is placed." in standing(page)


def test_what_says_nothing_leads_to_its_heading(page):
    """Beginning the next issue has no words of its own."""
    issue = shop.issued_quote()
    page.goto(f"/quotes/{issue.quote_id}/")
    page.locator("button", has_text="Begin the next issue").press("Enter")
    expect(page.locator("h1")).to_be_focused()
    assert "issue 2" in standing(page)
    # Only what was sent leads there: who merely opens the page begins at its top.
    page.goto(f"/quotes/{issue.quote_id}/")
    assert standing(page) == ""


def test_what_needs_mending_in_a_draft(page):
    """The draft's summary of what is wrong takes the cursor as every other page's does."""
    issue = shop.draft_quote()
    page.goto(f"/quotes/{issue.quote_id}/")
    page.fill("[name=new-description]", "Sill adaptor")
    page.fill("[name=new-quantity]", "some")
    page.locator("button", has_text="Save and work out").press("Enter")
    expect(page.locator(".summary")).to_be_focused()
    assert "Nothing you typed is lost" in standing(page)


def test_customer_and_factory_by_their_links(page):
    """Who answers by a link stands on what came of it, with no script of ours on the page."""
    open_shop()
    issue = shop.issued_quote()
    page.goto(reverse("quote-public", args=[token_of(issue.link.nonce)]))
    page.fill("#id_name", "Mara Quill")
    page.locator("#different summary").press("Enter")
    page.locator("#id_words").fill("Is ash dearer?")
    page.locator("[name=kind][value=question]").press("Enter")
    page.wait_for_selector("text=our answer is still to come")
    assert "our answer is still to come" in standing(page)
    page.fill("#id_name", "Mara Quill")
    page.locator("#tick-0").press("Space")
    page.locator("button.primary").press("Enter")
    page.wait_for_selector("text=Accepted by Mara Quill")
    assert "Accepted by Mara Quill" in standing(page)
    _, sent = sent_order()
    page.goto(reverse("factory-public", args=[token_of(sent.nonce)]))
    page.locator("button[value=have]").press("Enter")
    expect(page.locator(".messages")).to_be_focused()


def test_what_a_factory_has_to_mend(page):
    """The summary takes the cursor on its page, too."""
    open_shop()
    _, sent = sent_order()
    page.goto(reverse("factory-public", args=[token_of(sent.nonce)]))
    page.locator("button[value=dates]").press("Enter")
    expect(page.locator("#summary")).to_be_focused()
