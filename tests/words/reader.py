"""A Spanish that marks every text it is asked for, and what of a page or paper stands outside the marks."""

import re
from html.parser import HTMLParser
from io import BytesIO

import openpyxl
import pytest
from django.utils.translation import trans_real
from django.utils.translation.trans_real import DjangoTranslation
from pypdf import PdfReader

from sizing import lookup, wording

BEGIN, END = "«", "»"
# What is the same in both languages, or a name: units, currencies, the trade's standards, addresses.
SAME = {
    "in", "mm", "lb", "kg", "usd", "pdf", "xlsx", "http", "https", "español", "english", "testserver",
    "tarnbrook", "sashdesk", "ann", "counter", "desk", "example",
}  # fmt: skip


class Marking(DjangoTranslation):
    """Gives each text back between marks, whatever it is; a text that nobody marked has none.

    What is filled into a text stands outside its marks: it has to come from somewhere, too.
    """

    def gettext(self, message: str) -> str:
        return _marked(message.rpartition(chr(4))[2]) if message else ""

    def ngettext(self, one: str, many: str, count: int) -> str:
        return _marked(one if count == 1 else many)

    def pgettext(self, context: str, text: str) -> str:
        return _marked(text)


def speaks_marks(patch: pytest.MonkeyPatch) -> None:
    """Spanish marks each text it is asked for, in code, in templates and in forms."""
    marking = Marking("es")
    patch.setitem(trans_real._translations, "es", marking)
    patch.setitem(wording._catalogues, "es", marking)


def _marked(text: str) -> str:
    return BEGIN + re.sub(r"(\{\w*\}|%\(\w+\)s)", rf"{END}\1{BEGIN}", text) + END


def outside(text: str) -> list[str]:
    """The words of two letters and more that stand in no mark."""
    depth, kept = 0, []
    for char in text:
        depth += (char == BEGIN) - (char == END)
        assert depth >= 0, text
        kept.append(char if depth == 0 and char != END else " ")
    assert depth == 0, f"a mark is cut off: {text}"
    assert BEGIN in text or not text.strip(), f"nothing of it was asked for: {text}"
    return re.findall(r"[^\W\d_]{2,}", re.sub(r"https?://\S+|\S+@\S+|/\S*", " ", "".join(kept)))


class _Visible(HTMLParser):
    """Text between tags, and the attributes that people read or hear."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag, attributes):
        for name, value in attributes:
            button = tag == "button" or ("type", "submit") in attributes
            if name in ("aria-label", "title", "alt", "placeholder", "data-name") or (
                name == "value" and button and tag == "input"
            ):
                self.found.append(value or "")

    def handle_data(self, data):
        self.found.append(data)


def in_page(html: str) -> str:
    reader = _Visible()
    reader.feed(html)
    return " ".join(reader.found)


def in_pdf(content: bytes) -> str:
    return " ".join(page.extract_text() for page in PdfReader(BytesIO(content)).pages)


def in_workbook(content: bytes) -> str:
    book = openpyxl.load_workbook(BytesIO(content))
    cells = [str(v) for sheet in book for row in sheet.values for v in row if isinstance(v, str)]
    return " ".join([*book.sheetnames, *cells])


def data_words(revision, *more: str) -> set[str]:
    """The words of a size table, which are the shop's own, and of other data."""
    table = lookup.table_of(revision)
    texts = [
        table.name, table.factory, *table.finishes, *more, *(words for _, _, words in table.words),
        *(c.label for c in table.columns),
        *(text for m in table.measures for text in (m.label, m.how_to)),
        *(s.name for s in table.slips),
        *(p.weight_class for p in table.parts), *(p.part_number for p in table.parts),
        *(t for f in table.fit for t in (f.question, f.answer_that_fits, f.otherwise)),
    ]  # fmt: skip
    return {w.lower() for t in texts if t for w in re.findall(r"[^\W\d_]{2,}", t)} | SAME
