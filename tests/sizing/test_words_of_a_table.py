"""A size table can say its own texts in another language: the sheet Words of its workbook."""

from io import BytesIO

import openpyxl
import pytest

from fixtures.build import liner
from sizing import lookup
from sizing.table import spoken
from sizing.tables import import_workbook
from sizing.wording import speaking
from sizing.workbook import read_workbook
from sizing.workbook.write import workbook_bytes


def with_line(*line):
    book = openpyxl.load_workbook(BytesIO(workbook_bytes(liner())))
    book["Words"].append(line)
    out = BytesIO()
    book.save(out)
    return read_workbook(out.getvalue())


def test_words_are_read_back():
    """What is written is read as it was."""
    table, _ = read_workbook(workbook_bytes(liner()))
    assert table.words == liner().words != ()


@pytest.mark.parametrize(
    ("line", "warned"),
    [
        (("Glass", "xx", "Glas"), "“xx” is no language of the desk besides English (es)"),
        (("Nothing of it", "es", "Nada"), "“Nothing of it” stands nowhere else in this workbook"),
    ],
)
def test_line_that_says_nothing_is_left_out(line, warned):
    """A language or a text that there is not is named, and the rest is taken."""
    table, warnings = with_line(*line)
    assert table.words == liner().words
    assert any(warned in warning for warning in warnings)


def test_only_what_is_read_changes():
    """Labels and hints change; sizes, finishes, classes and part numbers never do."""
    english, spanish = liner(), spoken(liner(), "es")
    assert spanish.measures[0].label == "Alto del vidrio superior"
    assert (spanish.rows, spanish.parts, spanish.finishes) == (
        english.rows, english.parts, english.finishes,
    )  # fmt: skip
    assert spoken(english, "en") == english


@pytest.mark.django_db
def test_table_in_force_speaks_the_readers_language():
    """A stored table comes in the language spoken when it is read."""
    revision = import_workbook(liner(), "x.xlsx", [], None, "ann")
    assert lookup.table_of(revision).name == "Otter Hollow jamb liner"
    with speaking("es"):
        assert lookup.table_of(revision).name == "Guía de jamba Otter Hollow"
        assert lookup.compiled(revision).table.measures[2].label == "Alto del hueco"
