"""Lines gathered by factory go out as one order: one mail with paper, workbook and link."""

from io import BytesIO

import pytest
from django.urls import reverse
from django.utils import timezone
from openpyxl import load_workbook
from pypdf import PdfReader

from ordering.attention import Need
from ordering.documents.factory_order import papers_of
from ordering.events import StaleError, send_to_factories, watch_all, write
from ordering.lists.watch import watch_list
from ordering.models import FactoryOrder, Notice
from ordering.sending import sweep
from ordering.states import Act, NotAllowed
from sizing.models import Factory, Family
from sizing.tables import stop_offering
from tests.ordering.placed import CLERK, load_shop, placed_order, sent_order, user
from tests.quotes.shop import cottage_opening, part_opening

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()


def waiting(*orders):
    return [line.pk for order in orders for line in order.lines.exclude(factory=None)]


def test_two_orders_one_paper():
    """Lines of two customers for one factory make one factory order and one mail to it."""
    first, second = placed_order(), placed_order(caller="Henrik Aalto")
    (sent,) = send_to_factories(waiting(first, second), CLERK, "Pack apart.")
    assert sent.lines.count() == 2
    notice = Notice.objects.get(factory_order=sent)
    assert notice.to == "orders@otterhollow.example"
    for words in (f"{first.number}/1", f"{second.number}/1", "Pack apart."):
        assert words in notice.body
    assert [order.events.last().act for order in (first, second)] == ["sent", "sent"]


def test_paper_and_workbook_say_the_same(mailoutbox):
    """Both papers name every line, part and quantity, and both hang on the mail."""
    order, sent = sent_order(part_opening(quantity=3), cottage_opening())
    sweep()
    mail = next(m for m in mailoutbox if m.to == ["orders@otterhollow.example"])
    assert [name for name, _, _ in mail.attachments] == [
        f"{sent.number}.pdf",
        f"{sent.number}.xlsx",
    ]
    (_, pdf, _), (_, xlsx, _) = papers_of(sent)
    text = "\n".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)
    book = load_workbook(BytesIO(xlsx))
    rows = [row for row in book["Order"].values if row[0] and str(row[0]).startswith("C-")]
    number = order.lines.first().part_number
    assert [(*row[:2], row[3]) for row in rows] == [
        (f"{order.number}/1", number, 3), (f"{order.number}/2", "special", 1),
    ]  # fmt: skip
    assert f"{order.number}/1" in text and number in text and "3 pairs" in text
    made_to = list(book["Made to"].values)
    assert any(row[0] == f"{order.number}/2" and "16" in row[3] for row in made_to[1:])
    assert f"{order.number}/2: Opening 2" in text


def test_nothing_typed_becomes_a_formula():
    """A note that begins with = stays a text in the workbook."""
    order = placed_order()
    (sent,) = send_to_factories(waiting(order), CLERK, "=1+1")
    cells = [
        cell
        for row in load_workbook(BytesIO(next(papers_of(sent, ["xlsx"]))[1]))["Order"].iter_rows()
        for cell in row
        if cell.value == "=1+1"
    ]
    assert [cell.data_type for cell in cells] == ["s"]


def test_all_or_nothing():
    """One line that cannot go stops the whole order: nothing is sent or mailed."""
    order, held = placed_order(), placed_order()
    write(held.pk, Act.HELD, {1: 3}, CLERK, why="paint")
    with pytest.raises(NotAllowed, match="release it first"):
        send_to_factories(waiting(order, held), CLERK)
    assert not FactoryOrder.objects.exists()
    assert order.events.count() == 1
    assert not Notice.objects.exclude(factory_order=None).exists()


def test_sent_by_somebody_else_meanwhile():
    """Two people send the same line: the second one's order is not made."""
    order = placed_order()
    seen = {line.pk: line.version for line in order.lines.all()}
    send_to_factories(waiting(order), CLERK, seen=seen)
    with pytest.raises(StaleError, match="sent to the factory, by ann"):
        send_to_factories(waiting(order), CLERK, seen=seen)
    assert FactoryOrder.objects.count() == 1


def given_up_meanwhile():
    """An order placed and not sent, of a part, a special and a box of screws; then the family is given up."""
    order = placed_order(part_opening(quantity=3), cottage_opening(), hand=True)
    stop_offering(Family.objects.get(), timezone.localdate())
    return order


def test_given_up_meanwhile_waits_for_somebody(client):
    """What was placed before its factory gave it up is sent once somebody has asked; a special is its own affair."""
    order = given_up_meanwhile()
    part, special = waiting(order)
    with pytest.raises(NotAllowed, match=f"Line {order.number}/1: .* has not been made since"):
        send_to_factories([part, special], CLERK)
    assert not FactoryOrder.objects.exists()
    client.force_login(user())
    page = client.get(reverse("send-to-factories")).text
    assert f'value="{special}" id="line-{special}" checked' in page
    assert f'value="{part}" id="line-{part}" checked' not in page and "ask Otter Hollow" in page
    versions = {f"version-{line.pk}": line.version for line in order.lines.all()}
    said = {"line": [part, special], "note": "As agreed.", **versions}
    again = client.post(reverse("send-to-factories"), said)
    assert again.status_code == 422 and f'id="line-{part}" checked' in again.text
    client.post(reverse("send-to-factories"), {**said, "asked": [part]})
    assert FactoryOrder.objects.get().lines.count() == 2
    assert order.events.last().data["asked"] == [1]
    shown = client.get(reverse("order", args=[order.pk])).text
    assert "asked first: made all the same" in shown and "before it is sent" not in shown


def test_given_up_meanwhile_stands_on_the_order_and_the_watch_list(client):
    """At once on its order, from the next look at the open orders on among what needs somebody."""
    order = given_up_meanwhile()
    client.force_login(user())
    shown = client.get(reverse("order", args=[order.pk])).text
    assert shown.count("before it is sent") == 1
    watch_all()
    (noted,) = [one for one in watch_list() if one.item.need is Need.UNSENT]
    assert "has not been made since" in noted.item.why and noted.factory_pk


@pytest.mark.parametrize("email", ["", "orders@otterhollow.example"])
def test_a_factory_without_address_is_not_told_as_sent(client, email):
    """What goes by no mail is said to be called, and the watch list has the call."""
    order = placed_order()
    Factory.objects.update(email=email)
    client.force_login(user())
    page = client.post(reverse("send-to-factories"), {"line": waiting(order)}, follow=True)
    said = " ".join(str(message) for message in page.context["messages"])
    made = f"{FactoryOrder.objects.get().number} to Otter Hollow Millwork"
    assert (f"Sent: {made}" in said) == bool(email)
    assert (f"To be called, as there is no e-mail address: {made}." in said) == (not email)
    watched = client.get(reverse("watch")).content.decode()
    assert ("no e-mail address: call Otter Hollow Millwork" in watched) == (not email)
