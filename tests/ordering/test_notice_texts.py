"""The shop's own words: checked, shown as they will read, used from then on."""

import pytest
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from ordering.events.texts import keep_text, usual_text
from ordering.models import Notice, NoticeText
from ordering.notices import Kind, Text, filled, left_out, troubles, usual
from tests.ordering.placed import MANAGER, load_shop, placed_order, user


@pytest.mark.parametrize("kind", list(Kind))
def test_the_usual_words_pass_the_check(kind):
    """Every text that ships can be used."""
    assert troubles(usual(kind)) == []


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (Text("Order {number}", "x"), "There is no field {number}: use {customer}"),
        (Text("Order", "{order.pk}"), "There is no field {order.pk}"),
        (Text("Order", "{order!r}"), "There is no field {order!r}"),
        (Text("Order", "{0}"), "There is no field {0}"),
        (Text("Order", "the {order is"), "A brace stands alone"),
        (Text("Order", "order} is"), "A brace stands alone"),
        (Text(" ", "x"), "not an empty one"),
        (Text("a\nb", "x"), "one line"),
        (Text("a", " \n"), "The text is empty"),
    ],
)
def test_what_is_wrong_is_said(text, words):
    """An unknown field, a lone brace, an empty subject: each is named."""
    assert any(words in sentence for sentence in troubles(text))


@given(st.text(), st.text(), st.text())
def test_filling_never_fails_and_never_reaches_further(subject, body, value):
    """Any text can be filled; a value's own braces stay as they are; the subject is one line."""
    said = filled(Text(subject + "{order}", body), {"order": value})
    assert "\n" not in said.subject and "\r" not in said.subject
    assert filled(Text("x", "{order}"), {"order": "{customer}"}).body == "{customer}\n"


@pytest.mark.django_db
def test_used_from_then_on():
    """Notices written after the change have the new words; back to the usual, the old ones."""
    load_shop()
    keep_text(Kind.PLACED, Text("We have it: {order}", "Hello {customer}."), MANAGER)
    first = placed_order()
    assert Notice.objects.get().subject == f"We have it: {first.number}"
    assert Notice.objects.get().body == "Hello Mara Quill.\n"
    usual_text(Kind.PLACED)
    order = placed_order()
    assert Notice.objects.get(event__order=order).subject == f"Order {order.number} is placed"


@pytest.mark.django_db
def test_preview_keeps_nothing(client):
    """Preview shows the filled text and stores nothing; a bad field is refused with what was typed."""
    client.force_login(user("max", "manager"))
    address = reverse("notice-text", args=["moved", "en"])
    shown = client.post(
        address, {"subject": "{order} moved", "body": "Sorry.\n{reason}", "do": "preview"}
    )
    assert "C-00042 moved" in shown.content.decode()
    bad = client.post(address, {"subject": "{ordr}", "body": "Sorry, <b>typed</b>.", "do": "keep"})
    assert bad.status_code == 422
    assert "There is no field {ordr}" in bad.content.decode()
    assert "Sorry, &lt;b&gt;typed&lt;/b&gt;." in bad.content.decode()
    assert not NoticeText.objects.exists()


@pytest.mark.django_db
def test_only_the_manager(client):
    """The texts are the manager's: the counter is told so."""
    client.force_login(user())
    assert client.get(reverse("notice-text", args=["moved", "en"])).status_code == 403


@pytest.mark.parametrize("kind", list(Kind))
def test_the_usual_words_leave_nothing_out(kind):
    assert left_out(kind, usual(kind)) == []


@pytest.mark.parametrize(
    ("kind", "text", "without"),
    [
        (Kind.LEFT, Text("{order} {in_part}", "{lines} {link}"), ["window"]),
        (Kind.AGAIN, Text("{order}", "{lines}{window}{link}"), ["reason"]),
        (Kind.CANCELLED, Text("{order}", "Gone."), ["lines", "reason", "link"]),
        (Kind.READY, Text("Ready {in_part}", "{lines}\n{how}\n{window}\n{link}"), []),
    ],
)
def test_what_a_text_leaves_out(kind, text, without):
    """What the usual words tell and this one cannot, by the field that would say it; manners are its own affair."""
    sentences = left_out(kind, text)
    assert [sentence.split("}")[0].removeprefix("Without {") for sentence in sentences] == without


@pytest.mark.django_db
def test_the_manager_reads_what_a_text_leaves_out(client):
    """In the preview, after it is kept, and whenever it is opened again; the usual words have nothing to say."""
    client.force_login(user("max", "manager"))
    address = reverse("notice-text", args=["left", "en"])
    rest = "Without {window} nobody reads when they are expected to leave the factory; of a part of an order, when the rest is; of what cannot be made, what they were told until now."
    assert "The usual words say more" not in client.get(address).text
    said = {"subject": "{order} has left", "body": "{lines}\n{link}"}
    assert rest in client.post(address, {**said, "do": "preview"}).text
    assert rest in client.post(address, {**said, "do": "keep"}, follow=True).text
    assert rest in client.get(address).text
    assert "Without {in_part} nobody reads" in client.get(address).text
