"""Whoever did something is read by their own name on every page, in every list's file and on every paper."""

import re

import pytest
from django.apps import apps
from django.contrib.auth.models import User
from django.db.models import CharField
from django.test import Client
from django.urls import reverse

from ordering.documents.factory_order import paper_of
from ordering.models import Event, FactoryOrder
from quotes.desk.staff import invite
from quotes.links import token_of
from quotes.models import Letter
from tests.access.test_lists_given_out import PAGES, address, as_file
from tests.browser.pages import pages
from tests.words.reader import in_page

pytestmark = pytest.mark.django_db
# Where a sign-in name is the thing shown, and where records are given out as they are kept.
SIGN_IN_NAMES = {"staff"}
# Never changed, and written by "ann" in this shop anyway.
LOGS = {Event}
# Whoever answers for a factory has no sign-in.
OUTSIDE = {"answered_by"}


def who_did_it():
    """(model, field) of every field that holds whoever did something."""
    for model in apps.get_models():
        if model._meta.app_label in ("sizing", "quotes", "ordering") and model not in LOGS:
            for field in model._meta.concrete_fields:
                # "Needed by" is a day.
                named = re.search(r"(^|_)by$", field.name) and isinstance(field, CharField)
                if named and field.name not in OUTSIDE:
                    yield model, field.name


@pytest.fixture
def ann(built, db):
    """Whoever did all of it."""
    for model, field in who_did_it():
        model._base_manager.update(**{field: "ann"})
    User.objects.filter(username="ann").update(first_name="Annabel", last_name="Finch")


def test_pages(built, ann):
    """No page shows the name somebody signs in with where it means the person."""
    people, arguments = built
    client = Client()
    client.force_login(people["owner"])
    shown = {}
    for name, at in pages(people["owner"], arguments).items():
        if name not in SIGN_IN_NAMES:
            shown[name] = in_page(client.get(at).content.decode())
    assert [name for name, text in shown.items() if re.search(r"\bann\b", text)] == []
    assert sum("Annabel Finch" in text for text in shown.values()) > 8


@pytest.mark.parametrize("name", sorted(set(PAGES) - SIGN_IN_NAMES))
def test_files(name, built, ann):
    """Nor does the CSV of a list."""
    client = Client()
    client.force_login(built[0]["owner"])
    text = b"".join(client.get(as_file(address(name, built[1]), "csv")).streaming_content).decode()
    assert not re.search(r"\bann\b", text), text


def test_paper_to_a_factory(built, ann):
    """The order on paper is signed by a person."""
    order = FactoryOrder.objects.get(pk=built[1]["factory-order"][0])
    assert paper_of(order).by == "Annabel Finch"


def test_invitation(built, ann):
    """Who is invited reads who invites them, in the mail and on the page."""
    invitation = invite("Una Fell", "una@reed.example", "staff", "ann")
    assert "Annabel Finch asks you" in Letter.objects.latest("pk").body
    page = reverse("join", args=[token_of(invitation.nonce)])
    assert "Annabel Finch invited you" in Client().get(page).text
