"""The measuring sheet: every measure with how it is taken, cautions, the page's address; blank or filled."""

from io import BytesIO

import pytest
from django.contrib.auth.models import Group, User
from django.test import Client
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from quotes.desk.requests import save_request
from quotes.documents.measuring_sheet import MeasuringSheet, measuring_pdf
from quotes.lists.shop import the_shop
from quotes.measuring import places, sheet_cautions, sheet_drawing
from quotes.said import SaidOpening, SaidRequest
from sizing import lookup
from tests.sizing.drawn_tables import tables

pytestmark = pytest.mark.django_db


def text_of(content):
    pages = PdfReader(BytesIO(content)).pages
    return len(pages), " ".join(" ".join(p.extract_text() for p in pages).split())


def blank(family):
    response = Client().get(f"/measure/{family}/sheet.pdf")
    assert response["Content-Type"] == "application/pdf"
    return text_of(response.content)


def test_blank(liner, settings):
    """One page for the demo's liner, with each measure, how to take it, its slips, the finishes and cautions."""
    pages, text = blank("otter-liner")
    assert pages == 1
    for measure in liner.measures.all():
        assert measure.label in text
        assert measure.how_to in text
    assert "Not like this: only the visible glass is measured." in text
    for words in ("ash", "slate", "chalk", "Balances hold spring tension", "before 1978"):
        assert words in text
    assert f"{settings.SITE_URL}/measure/otter-liner/" in text.replace(" ", "")


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_a_sheet_in_spanish_is_one_page_too(liner, paper):
    """Its words are longer: the last caution by itself on a second page is left in the printer."""
    shop = the_shop()
    shop.paper = paper
    shop.name, shop.street, shop.town = "Tarnbrook Sash Parts", "7 Weir Lane", "Tarnbrook"
    shop.phone, shop.email = "+1 802 555 0142", "counter@tarnbrook.example"
    shop.save()
    pages, text = text_of(Client().get("/measure-es/otter-liner/sheet.pdf").content)
    assert "anterior a 1978" in text and pages == 1


def test_lift_caution_only_where_a_sash_is_weighed(balance):
    """Where the sash is to be weighed, the sheet says that two people lift it; a family of strips does not."""
    from tests.quotes.conftest import publish

    publish("heron-strip")
    assert "Two people to lift" in blank("heron-balance")[1]
    assert "Two people to lift" not in blank("heron-strip")[1]


def test_filled(liner):
    """A caller's sheet holds what was said, as it was said."""
    said = SaidOpening(
        "otter-liner",
        label="landing",
        measures={"opening": "3' 11 7/8\""},
        finish="chalk",
        quantity=3,
    )
    request = save_request(SaidRequest(caller="Thea Lindqvist", openings=(said,)), by="ann")
    client = Client()
    user = User.objects.create_user("ann")
    user.groups.add(Group.objects.get_or_create(name="counter")[0])
    client.force_login(user)
    address = f"/measuring/{request.openings.get().pk}.pdf"
    assert f'href="{address}"' in client.get(f"/requests/{request.pk}/").content.decode()
    response = client.get(address)
    _, text = text_of(response.content)
    for words in ("Thea Lindqvist", "landing", "3' 11 7/8\"", "C 3' 11 7/8\""):
        assert words in text


@settings(max_examples=40)
@given(table=tables(), who=st.text(max_size=60), shop=st.text(max_size=200))
def test_any_family(table, who, shop):
    """Whatever a family's table and names hold, the sheet is a PDF that opens."""
    sheet = MeasuringSheet(
        family=table.name,
        shop=("Wherry Lane", shop),
        drawing=sheet_drawing(table),
        places=places(table),
        rows=[("Name", who)],
        finishes=table.finishes,
        finish="",
        cautions=sheet_cautions(table),
        address="https://desk.example/measure/x/",
    )
    pages, text = text_of(measuring_pdf(sheet))
    assert pages >= 1 and "Wherry Lane" in text


def test_every_measure_has_its_letter(liner):
    """Letters in the drawing and at the boxes are the same."""
    table = lookup.table_of(liner)
    lettered = places(table)
    assert [p.letter for p in lettered] == ["A", "B", "C", "D", "E"]
    about = sheet_drawing(table).description
    for place in lettered:
        if place.measure.kind == "length":
            assert f"{place.label}: {place.letter}" in about
