"""A factory's page says how a line stands from where they are: what they have said and what has left them."""

from dataclasses import replace
from datetime import date

import pytest
from django.utils import timezone

from ordering.links import page_of_factory
from ordering.sentences import at_its_factory
from ordering.states import LineState, Step
from tests.ordering.placed import load_shop, sent_order, user

TODAY = date(2031, 5, 20)
SENT = LineState(5, True, Step.SENT, sent_on=date(2031, 5, 1))
KNOWN = replace(SENT, begun=Step.ACKNOWLEDGED, confirmed_on=date(2031, 5, 3))
DATED = replace(KNOWN, promised_on=date(2031, 6, 14))
GONE = replace(DATED, left=5, last_left_on=date(2031, 5, 18))
CASES = [
    (SENT, "Sent to you on 1 May; you have not answered yet"),
    (KNOWN, "You confirmed it on 3 May"),
    (DATED, "You confirmed it on 3 May; by your date it leaves you on 14 June"),
    (
        replace(DATED, promised_on=date(2031, 5, 19)),
        "You confirmed it on 3 May; by your date it was to leave you on 19 May",
    ),
    (replace(KNOWN, begun=Step.MAKING), "You are making it"),
    (replace(KNOWN, left=2), "You confirmed it on 3 May; 2 of 5 have left you"),
    (GONE, "It left you on 18 May"),
    (replace(GONE, arrived=2), "It has left you and is with us in part"),
    (replace(GONE, arrived=5, handed=5), "It has left you and is with us"),
    (replace(GONE, held=True), "It left you on 18 May"),
    (replace(DATED, held=True), "On hold: please wait until we write again"),
    (
        replace(GONE, lost=5),
        "Lost or broken after it left you; what takes its place is a line of its own",
    ),
]


@pytest.mark.parametrize(("line", "words"), CASES)
def test_as_they_see_it(line, words):
    assert at_its_factory(line, TODAY) == words


@pytest.mark.django_db
def test_on_their_page_and_ours(client):
    """They read what they have said, the desk reads its own steps."""
    load_shop()
    _order, sent = sent_order()
    address = page_of_factory(sent).removeprefix("http://testserver")
    today = timezone.localdate()
    assert (
        f"Sent to you on {today.day} {today:%B}; you have not answered yet"
        in client.get(address).text
    )
    client.post(address, {"do": "have"})
    said = f"You confirmed it on {today.day} {today:%B}"
    page = client.get(address).text
    assert said in page and "Acknowledged" not in page
    client.force_login(user())
    ours = client.get(f"/factory-orders/{sent.pk}/").text
    assert "Acknowledged" in ours and said not in ours
