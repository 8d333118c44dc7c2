"""The demo has a quote in every state, and loading it again adds nothing."""

import pytest

from fixtures import quotes as demo
from quotes.models import Customer, FreightStep, Quote
from tests.quotes import shop

pytestmark = pytest.mark.django_db


def test_every_state_once_loaded_twice():
    """Draft, open in English and in Spanish, lapsed, replaced, back at the desk, accepted by link and on word; twice the same."""
    shop.load_liner()
    said = demo.load()
    words = [sentence.split(": ", 1)[1].split(".")[0] for sentence in said]
    assert words == [
        "draft", "open", "open", "lapsed", "replaced", "back at the desk", "accepted", "accepted",
    ]  # fmt: skip
    counted = Quote.objects.count(), Customer.objects.count(), FreightStep.objects.count()
    assert demo.load() == said
    assert (Quote.objects.count(), Customer.objects.count(), FreightStep.objects.count()) == counted
