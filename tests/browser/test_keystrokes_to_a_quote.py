"""From the caller's three numbers to a quote in the mail: keys only, counted, beside the printed table."""

import pytest
from playwright.sync_api import expect

from quotes.models import Letter
from tests.browser.keystrokes import K_AVERAGE, Typist, Way
from tests.browser.letters import work

CALLER, MAIL = "Ines Calloway", "ines@calloway.example"
NUMBERS = ("20 1/4", "47 7/8", "12 lb")
PART = "OHL-05MS"
# The least that a quote typed by hand has to say; the sums are the caller's own.
BY_HAND = (
    f"Dear {CALLER}, your jamb liner is {PART}, slate, 1 pair, for upper glass 20 1/4, opening 47 7/8, "
    "sash 12 lb. Price 86.40 USD, tax to come. Ready in 3 to 5 weeks. It is made to order and cannot be "
    "returned. This holds for 30 days."
)


@pytest.fixture
def at_the_desk(page, letterbox):
    page.goto("/")
    return page


def at_the_counter(page) -> Way:
    """The call at the counter; the page itself counts the keys."""
    way = Way("At the counter")
    typist = Typist(page, way)
    page.reload()
    # Where a page begins the browser goes once it has drawn it.
    page.wait_for_selector("[autofocus]:focus")
    typist.commands("Enter", lambda: page.wait_for_selector("#caller:focus"))
    typist.types(CALLER)
    typist.enters("email")
    typist.types(MAIL)
    typist.enters("o0-family")
    typist.types("Ot")
    page.wait_for_selector("#o0-m-upper_glass")
    typist.enters("o0-finish")
    typist.types("sl")
    typist.enters("o0-m-upper_glass")
    typist.types(NUMBERS[0])
    typist.enters("o0-m-opening")
    typist.types(NUMBERS[1])
    typist.enters("o0-m-sash_weight")
    typist.types(NUMBERS[2])
    # What is read out to the caller before it is quoted.
    way.thoughts += 1
    expect(page.locator("#o0-worked .part.number")).to_have_text(PART)
    typist.commands(
        "Control+Shift+Enter", lambda: page.wait_for_selector("text=As it would be issued today")
    )
    typist.commands(
        "Control+Shift+Enter", lambda: page.wait_for_selector(".messages >> text=The letter to")
    )
    assert typist.mouse == []
    return typist.reckon()


def with_a_printed_table() -> Way:
    """The same call with a binder and a mail program: each look is M and P (a finger on the row)."""
    way = Way("Printed table and mail")
    for number in NUMBERS:
        way.step("note the number on a pad (its keys stand for the pen)", text=number, m=1)
    way.step("reach for the binder, open the family's page", m=1, p=1, h=1)
    way.step("find the row of the glass", m=1, p=1)
    way.step("cross-check its opening", m=1, p=1)
    way.step("find the weight class", m=1, p=1)
    way.step("find the finish, read the part number", m=1, p=1)
    way.step("find its price in the price list", m=1, p=1)
    way.step("hands back to the keyboard, a new mail", m=1, h=1, keys=2)
    way.step("address", text=MAIL, m=1, keys=1)
    way.step("subject", text="Your quote", m=1, keys=1)
    # One thought for each thing said: whom, part, finish, count, three measures, price, weeks, two terms.
    way.step("the quote in words", text=BY_HAND, m=11)
    way.step("send", m=1, keys=2)
    return way


def test_quote_is_sent_without_a_mouse(at_the_desk, letterbox):
    """The quote leaves for the caller, the mouse never touched, in fewer keys and seconds than by the binder."""
    counted, binder = at_the_counter(at_the_desk), with_a_printed_table()
    work()
    assert Letter.objects.get().to == MAIL and len(letterbox.to(MAIL)) == 1
    print("\n| way | K | M | P | H | R, s | K 0.20 | K 0.28 |\n|---|---|---|---|---|---|---|---|")
    print(counted.line, binder.line, sep="\n")
    # Every key reached the page: what was typed, and at least one for each step on.
    assert counted.keys >= sum(map(len, (CALLER, MAIL, *NUMBERS))) + 14
    assert counted.keys < 100
    assert counted.seconds(K_AVERAGE) < binder.seconds(K_AVERAGE)
