"""Text from users cannot break or inject into the PDF, the workbook or the page."""

from io import BytesIO

import openpyxl
import pytest
from django.db import connection
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from quotes.documents.lettering import clean, drawable, in_reading_order, wrap
from quotes.documents.pdf import quote_pdf
from quotes.documents.sheet import fonts
from quotes.documents.workbook import quote_workbook
from quotes.links import token_of
from quotes.lists.issues import document_of
from tests.quotes import shop

HOSTILE = [
    "=HYPERLINK(\"http://x\",\"y\")", "+1+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "\t=1+1", "\r=1+1",
    "<b>bold</b><script>alert(1)</script>", "<para><font size=900>x", "&amp;&lt;", "{{ 7|add:7 }}",
    "שלום עולם", "مرحبا", "\u202egnp.exe\u202c", "\x00\x07\x1b[31m", "😀🪟", "e\u0301", "ŁódźŠkvor",
    "名前", "x" * 300, "a b " * 75, "％３／８", "⅜ and 5⁄8 ″",
]  # fmt: skip

if connection.vendor == "postgresql":
    # It stores no NUL; the forms refuse one on either engine.
    HOSTILE = [text.replace("\x00", "") for text in HOSTILE]


pytestmark = pytest.mark.usefixtures("built")


def build():
    shop.set_up()


def issued(text):
    """A quote with this text wherever a user can type one."""
    issue = shop.draft_quote(shop.part_opening(text[:80]), caller=text[:120])
    shop.add_line(issue.pk, text, 1, shop.Decimal("10.00"))
    shop.change_head(issue.pk, shop.Head(None, True, None, text, 30))
    return shop.issue_quote(issue.pk, "ann")


@pytest.mark.parametrize("text", HOSTILE)
def test_all_three_are_made(client, text):
    """Each hostile text gives a readable PDF, a workbook without a formula, a page without markup.

    What was typed stands in the workbook as a text, less control characters only.
    """
    issue = issued(text)
    document = document_of(issue)
    assert PdfReader(BytesIO(quote_pdf(document, "https://desk.example/"))).pages[0].extract_text()
    book = openpyxl.load_workbook(BytesIO(quote_workbook(document)))
    for sheet in book:
        for row in sheet.iter_rows():
            assert all(cell.data_type in ("s", "n") for cell in row)
    texts = {cell for row in book["Quote"].values for cell in row if isinstance(cell, str)}
    assert clean(text) in {clean(found) for found in texts} or not clean(text).strip()
    page = client.get(reverse("quote-public", args=[token_of(issue.link.nonce)])).content.decode()
    assert "<script>" not in page
    assert "<b>bold" not in page


def test_markup_is_drawn_as_text():
    """A tag in a name is letters on the paper, not an instruction to it."""
    document = document_of(issued("<b>A & B</b>"))
    pages = PdfReader(BytesIO(quote_pdf(document))).pages
    assert "<b>A & B</b>" in pages[0].extract_text()


def test_accents_are_on_the_paper():
    """Latin letters with accents are drawn, also when the accent was typed apart."""
    document = document_of(issued("Zoe\u0308 Łukasz Škvor Benoît"))
    pages = PdfReader(BytesIO(quote_pdf(document))).pages
    assert "Zoë Łukasz Škvor Benoît" in pages[0].extract_text()


@given(st.text(max_size=400), st.integers(20, 300))
def test_wrapping_loses_no_letter(text, width):
    """Lines fit the width (one letter at least) and together hold every letter, in order."""
    cleaned = clean(text)
    lines = wrap(cleaned, width, lambda words: 6.0 * len(words), most=10_000)
    assert all(len(line) * 6 <= max(width, 6) for line in lines)
    assert "".join(lines).replace(" ", "") == cleaned.replace(" ", "").replace("\u00a0", "")


@given(st.text(max_size=200))
def test_what_is_drawn_is_in_the_font(text):
    """Nothing is handed to the font that it has no shape for."""
    glyphs = fonts()[2]
    assert all(ord(char) in glyphs for char in in_reading_order(drawable(text, glyphs)))


@pytest.mark.parametrize(
    ("text", "glyphs", "drawn"),
    [
        ("17⅜ in", "0123456789/ in", "17 3/8 in"),
        ("33′ 5″", "0123456789' \"", "33' 5\""),
        ("a😀b", "ab□", "a□b"),
        ("a😀b", "ab?", "a?b"),
        ("\u202eabc", "abc", "abc"),
        ("one\n two", "onetw ", "one two"),
    ],
)
def test_what_a_font_lacks_is_spelt_or_shown_missing(text, glyphs, drawn):
    """Fractions and primes are spelt out, other gaps are visible, direction marks are gone."""
    assert drawable(text, {ord(glyph) for glyph in glyphs}) == drawn


@pytest.mark.parametrize(
    ("line", "turned"),
    [("abc", "abc"), ("אבג", "גבא"), ("a אב גד b", "a דג בא b"), ("17 1/2 אב", "17 1/2 בא")],
)
def test_right_to_left_words_are_turned(line, turned):
    """A run of right-to-left letters is drawn so that it reads right to left."""
    assert in_reading_order(line) == turned
