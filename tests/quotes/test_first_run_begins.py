"""After the setup the owner begins with the demo scenario or with own workbooks."""

import pytest
from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile

from quotes.models import Request
from sizing.models import Family
from tests.quotes.first_run import TYPED
from tests.quotes.shop import load_liner

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(client):
    client.post("/set-up/", TYPED)
    return client


def test_both_ways_are_offered(owner):
    """The page links to the workbook's upload and offers the demo."""
    page = owner.get("/set-up/begin/").content.decode()
    assert 'href="/tables/#bring"' in page
    assert "Load the demo scenario" in page


def test_an_example_to_write_over(owner):
    """Whoever has no workbook yet takes one along that reads as it is, from this page and from the tables'."""
    for page in ("/set-up/begin/", "/tables/"):
        assert 'href="/tables/example.xlsx"' in owner.get(page).content.decode()
    taken = owner.get("/tables/example.xlsx")
    assert taken["Content-Disposition"] == 'attachment; filename="example-family.xlsx"'
    sent = SimpleUploadedFile("example-family.xlsx", taken.content)
    kept = owner.post("/tables/upload/", {"workbook": sent}, follow=True).content.decode()
    assert "is kept as a draft" in kept
    assert not Family.objects.filter(revisions__in_force_from__isnull=False).exists()


def test_demo_is_loaded(owner):
    """One press loads tables in force and requests in many states, and makes no other users."""
    assert owner.post("/set-up/begin/")["Location"] == "/"
    assert Family.objects.count() == 3
    assert Request.objects.count() >= 5
    assert User.objects.count() == 1


def test_demo_only_into_an_empty_desk(owner):
    """Once there are tables, the demo is neither offered nor loaded."""
    load_liner()
    owner.post("/set-up/begin/")
    assert not Family.objects.filter(code="heron-strip").exists()
    assert "Load the demo scenario" not in owner.get("/set-up/begin/").content.decode()
