"""What is exported reads back as the same table."""

import io
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings

from sizing.workbook import read_workbook, workbook_bytes, write_workbook
from tests.sizing.drawn_tables import tables
from tests.sizing.sheets import workbook

FIXTURES = Path(__file__).parents[2] / "fixtures"


@settings(max_examples=50)
@given(tables())
def test_any_table(table):
    """Any table a workbook can hold comes back equal."""
    assert read_workbook(workbook_bytes(table))[0] == table


@pytest.mark.parametrize("name", ["otter-liner", "heron-balance", "heron-strip"])
def test_demo(name):
    """Each workbook of the demo survives being read, written and read again."""
    table, warnings = read_workbook(FIXTURES / f"{name}.xlsx")
    assert read_workbook(workbook_bytes(table)) == (table, warnings)


@pytest.mark.parametrize(
    "text", ["=1+1", "+44", "-7", "@here", "#N/A", "TRUE", "2026-01-02", "1e5", "007"]
)
def test_text_stays_text(text):
    """A part number that looks like a formula, date or number is written as text and read as it was."""
    table, _ = read_workbook(workbook())
    parts = (replace(table.parts[0], part_number=text), *table.parts[1:])
    again, _ = read_workbook(workbook_bytes(replace(table, parts=parts)))
    assert again.parts[0].part_number == text


def test_decimal_kept():
    """A size typed as 17.4 is written as 17.4, not as the tail of its count."""

    def shape(book):
        book["Parts"]["A2"] = book["Parts"]["A3"] = 17.4

    written = workbook_bytes(read_workbook(workbook(shape=shape))[0])
    assert openpyxl.load_workbook(io.BytesIO(written))["Parts"]["A2"].value == 17.4


def test_old_file_stays_until_new_is_whole(tmp_path, monkeypatch):
    """An export that fails leaves the file that was there, and no scrap beside it."""
    path = tmp_path / "liner.xlsx"
    path.write_bytes(b"old")
    table, _ = read_workbook(workbook())
    monkeypatch.setattr(Path, "replace", lambda *_: (_ for _ in ()).throw(OSError("disk full")))
    with pytest.raises(OSError, match="disk full"):
        write_workbook(table, path)
    assert [p.name for p in tmp_path.iterdir()] == ["liner.xlsx"]
    assert path.read_bytes() == b"old"
