"""Whatever is typed into any box, the sentence about it is the desk's own: it names the box and says what to type."""

import gettext
import importlib
import pkgutil
import re
from html import unescape
from pathlib import Path

import django
import pytest
from django import forms
from django.db import transaction
from django.test import Client
from django.urls import reverse

from quotes.forms.quote import SignatureForm
from sizing.own_words import OwnWords
from sizing.wording import speaking
from tests.access.boxes import forms_of, hidden_in
from tests.browser.pages import pages

TYPED = ["", "x" * 9000, "-1", "1e99", "1234567890123456789.123456789", "no such"]


def sentences_of_django() -> list[re.Pattern]:
    """Each sentence that Django has a translation of, as it is found in a page."""
    at = Path(django.__file__).parent / "conf/locale/de/LC_MESSAGES/django.mo"
    with at.open("rb") as file:
        known = gettext.GNUTranslations(file)._catalog
    texts = {key[0] if isinstance(key, tuple) else key for key in known}
    said = [text for text in texts if " " in text and re.search(r"[.:]$", text)]
    return [
        re.compile(re.sub(r"%\\\(\w+\\\)[sd]", ".{0,80}?", re.escape(text).replace("%(", r"%\(")))
        for text in said
        if len(re.sub(r"%\(\w+\)[sd]", "", text)) > 16
    ]


DJANGOS = sentences_of_django()


def django_in(text: str) -> set[str]:
    return {found[0] for sentence in DJANGOS if (found := sentence.search(text))}


def classes() -> list[type[forms.BaseForm]]:
    """Every form of ours, wherever it is written."""
    for folder in ("sizing", "quotes", "ordering", "config"):
        package = importlib.import_module(folder)
        for module in pkgutil.walk_packages(package.__path__, f"{folder}."):
            if not re.search(r"\.(migrations|management)\b|wsgi|asgi", module.name):
                importlib.import_module(module.name)
    found, waiting = set(), [forms.BaseForm]
    while waiting:
        for kind in waiting.pop().__subclasses__():
            waiting.append(kind)
            if kind.__module__.split(".")[0] in {"sizing", "quotes", "ordering", "config"}:
                found.add(kind)
    return sorted(found, key=lambda kind: (kind.__module__, kind.__name__))


def test_the_sentences_are_known():
    assert len(DJANGOS) > 60
    assert django_in("Quantity: Ensure this value is greater than or equal to 1. (Count)")
    assert django_in("This field is required.")


def test_every_form_has_them():
    """No form goes by Django's own words."""
    found = classes()
    assert len(found) > 40
    assert [str(kind) for kind in found if not issubclass(kind, OwnWords)] == []


@pytest.mark.parametrize("kind", classes(), ids=lambda kind: f"{kind.__module__}.{kind.__name__}")
def test_every_field(kind, db):
    """Of each field of each form, whatever it is given: one sentence that names the box."""
    bare = type("Bare", (OwnWords, forms.Form), dict(kind.base_fields))
    for value in [*TYPED, "\0"]:
        form = bare(dict.fromkeys(bare.base_fields, value))
        for name, sentences in form.errors.items():
            for sentence in sentences:
                assert not django_in(sentence), (name, value[:20], sentence)


def test_in_the_language_of_the_reader():
    """A customer reads the box's name and what to type in Spanish."""
    with speaking("es"):
        form = type("Bare", (OwnWords, forms.Form), dict(SignatureForm.base_fields))(
            {"name": "x" * 301}
        )
        assert form.errors["name"] == ["Su nombre: 301 caracteres son demasiados: acórtelo a 300."]


def test_every_page(built, db):
    """Every form of every page, with the same nonsense in all its boxes at once."""
    people, arguments = built
    client = Client(raise_request_exception=False)
    client.force_login(people["owner"])
    tried, found = set(), set()
    for at in pages(people["owner"], arguments).values():
        html = client.get(at).text
        hidden = hidden_in(html)
        for method, addresses, boxes in forms_of(html, at):
            for sent_to in addresses:
                if (
                    method == "dialog"
                    or sent_to == reverse("sign-out")
                    or (sent_to, *sorted(boxes)) in tried
                ):
                    continue
                tried.add((sent_to, *sorted(boxes)))
                for value in TYPED[:3]:
                    typed = {box: old if box in hidden else value for box, old in boxes.items()}
                    mark = transaction.savepoint()
                    answer = getattr(client, method)(sent_to, typed)
                    transaction.savepoint_rollback(mark)
                    if "html" in answer.get("Content-Type", "") and not answer.streaming:
                        found |= {(sent_to, one) for one in django_in(unescape(answer.text))}
    assert found == set()
    assert len(tried) > 60
