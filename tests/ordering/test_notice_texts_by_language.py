"""A shop's own text is kept for each language by itself; the preview shows both."""

import pytest

from ordering.events.telling import text_for
from ordering.events.texts import TextError, keep_text, usual_text
from ordering.notices import Kind, Text, usual
from tests.ordering.placed import MANAGER, user

pytestmark = pytest.mark.django_db
OWN = Text("Listo {order}", "Hola {customer}")


def test_one_text_a_language():
    """Own words in Spanish leave the English ones alone, and go back by themselves."""
    keep_text(Kind.READY, OWN, MANAGER, "es")
    assert text_for(Kind.READY, "es") == OWN
    assert text_for(Kind.READY, "en") == usual(Kind.READY)
    usual_text(Kind.READY, "es")
    assert text_for(Kind.READY, "es").subject == "El pedido {order} está listo {in_part}"


def test_unknown_field_is_refused_in_either():
    """A field that does not exist is refused in Spanish as in English."""
    with pytest.raises(TextError, match=r"There is no field \{pedido\}"):
        keep_text(Kind.READY, Text("{pedido}", "x"), MANAGER, "es")


def test_preview_shows_both(client):
    """While one language is typed, the other stands beside it."""
    client.force_login(user("max", "manager"))
    typed = {"subject": "Listo {order}", "body": "Hola {customer}", "do": "preview"}
    page = client.post("/notices/ready/es/", typed).text
    assert "Listo C-00042" in page
    assert "Order C-00042 is ready" in page


def test_factory_has_one_language(client):
    """A factory's text is in English only."""
    client.force_login(user("max", "manager"))
    assert client.get("/notices/factory/en/").status_code == 200
    assert client.get("/notices/factory/es/").status_code == 404
