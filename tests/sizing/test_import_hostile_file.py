"""A file that is no workbook, or means harm, is refused in one sentence and in little time and memory."""

import io
import time
import zipfile

import pytest

from sizing.workbook import WorkbookError, read_workbook
from sizing.workbook.safe import MOST_CELLS, MOST_UNPACKED_BYTES
from tests.sizing.sheets import workbook


def refused(content):
    with pytest.raises(WorkbookError) as error:
        read_workbook(content)
    assert len(error.value.problems) == 1
    return error.value.problems[0]


def repacked(change, rename=lambda name: name):
    """The sound workbook with its parts changed: change(name, content) -> content."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(workbook())) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            new.writestr(rename(name), change(name, old.read(name)))
    return out.getvalue()


def in_parts(old, new):
    """A change that rewrites the XML of the sheet Parts."""
    return lambda name, content: (
        content.replace(old, new, 1) if name == "xl/worksheets/sheet4.xml" else content
    )


def plain_zip():
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("notes.txt", "hello")
    return out.getvalue()


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "is no .xlsx workbook (perhaps text or CSV"),
        (b"glass,opening\n17.5,40\n", "is no .xlsx workbook (perhaps text or CSV"),
        (b"%PDF-1.7", "is no .xlsx workbook"),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600),
            "old .xls workbook or locked with a password",
        ),
        (b"PK\x03\x04 and then nothing", "is damaged or no .xlsx workbook"),
        (plain_zip(), "is damaged or no .xlsx workbook"),
        (workbook()[:-40], "is damaged or no .xlsx workbook"),
        (b"PK" + bytes(5_000_001), "is larger than 5 MB"),
    ],
)
def test_no_workbook(content, sentence):
    """What is no workbook is said to be none, with the way to make it one."""
    assert sentence in refused(content)


def test_missing_file(tmp_path):
    """A name that leads nowhere is said so."""
    assert "can't be read (No such file or directory)" in refused(tmp_path / "none.xlsx")


def test_folder(tmp_path):
    """A folder is no file."""
    assert "can't be read (Is a directory)" in refused(tmp_path)


def test_broken_byte():
    """A flipped byte inside is damage, not an exception."""
    content = bytearray(workbook())
    content[len(content) // 3] ^= 0xFF
    assert "damaged" in refused(bytes(content))


def test_unpacks_too_large():
    """A small file that unpacks to more than the limit is refused by its directory alone."""
    bomb = repacked(
        in_parts(b"<sheetData>", b"<!--" + b" " * MOST_UNPACKED_BYTES + b"--><sheetData>")
    )
    assert len(bomb) < 200_000
    assert "unpacks to more than" in refused(bomb)


def test_too_many_cells():
    """More cells than a size table ever has are counted before any is read."""
    cells = b'<row r="99">' + b"<c/>" * (MOST_CELLS + 1) + b"</row>"
    assert "unpacks to more than" in refused(
        repacked(in_parts(b"<sheetData>", b"<sheetData>" + cells))
    )


def test_sheet_under_another_name():
    """A sheet that lies under the name of a picture is counted like any other."""
    cells = b"<row>" + b"<c/>" * (MOST_CELLS + 1) + b"</row>"
    fill = in_parts(b"<sheetData>", b"<sheetData>" + cells)

    def change(name, content):
        return fill(name, content).replace(b"sheet4.xml", b"sheet4.png")

    renamed = repacked(change, lambda name: name.replace("sheet4.xml", "sheet4.png"))
    assert "unpacks to more than" in refused(renamed)


@pytest.mark.parametrize(
    ("reference", "why"),
    [
        (b"A1:XFD1048576", "unpacks to more than"),
        (b"A:XFD", "unpacks to more than"),
        (b"1:1048576", "unpacks to more than"),
        (b"A1&#58;XFD1048576", "damaged"),
    ],
)
@pytest.mark.parametrize(
    "tag",
    [b"<mergeCells><mergeCell %s/></mergeCells>", b"<hyperlinks><hyperlink %s/></hyperlinks>"],
)
def test_endless_range(tag, reference, why):
    """A merged or linked range of the whole sheet would be made cell by cell; it is refused first."""
    xml = tag % (b'ref="' + reference + b'"')
    assert why in refused(repacked(in_parts(b"</sheetData>", b"</sheetData>" + xml)))


def styles(of: bytes, times: int):
    """A change that puts so many more of these into the list of styles."""
    end = b"</" + of + b"s>"
    return lambda name, content: (
        content.replace(end, (b"<" + of + b"/>") * times + end)
        if name == "xl/styles.xml"
        else content
    )


def told_apart(tag: bytes, times: int):
    """A change that puts so many of a tag behind the cells of Parts."""
    return in_parts(b"</sheetData>", b"</sheetData>" + tag * times)


LONG = b"A1+" * 30_000
CELLS_THAT_SHARE = b"".join(
    b'<row><c r="A%d"><f t="shared" si="0"/></c></row>' % number for number in range(91, 400)
)
HEAVY = {
    "a million fonts": lambda: styles(b"font", 1_000_000),
    "a quarter of a million rows with a height": lambda: in_parts(
        b"</sheetData>", b'<row ht="1"/>' * 250_000 + b"</sheetData>"
    ),
    "a million empty rows": lambda: in_parts(b"</sheetData>", b"<row/>" * 1_100_000 + b"</sheetData>"),
    "a hundred thousand rules": lambda: told_apart(b'<conditionalFormatting sqref="A1"/>', 100_000),
    "a rule for a million ranges": lambda: told_apart(
        b'<conditionalFormatting sqref="' + b"A1:B2 " * 1_000_000 + b'"/>', 1
    ),
    "half a million elements in one another": lambda: told_apart(b"<extLst>", 500_000),
    "a formula that hundreds share": lambda: in_parts(
        b"</sheetData>",
        b'<row r="90"><c r="A90"><f t="shared" si="0" ref="A90:A399">' + LONG + b"1</f></c></row>"
        + CELLS_THAT_SHARE + b"</sheetData>",
    ),
    "an attribute of a megabyte": lambda: told_apart(b'<drawing a="' + b"ref " * 250_000 + b'"/>', 1),
    "a comment of a megabyte": lambda: told_apart(b"<!--" + b" <a" * 350_000 + b"-->", 1),
    "a comment without its end": lambda: told_apart(b"<!--", 1),
}  # fmt: skip


@pytest.mark.parametrize("what", HEAVY)
def test_heavy(what):
    """What is small on the wire and would be gigabytes or minutes in openpyxl is refused before it is opened."""
    content = repacked(HEAVY[what]())
    assert len(content) < 300_000
    began = time.process_time()
    assert "is full of formats" in refused(content)
    assert time.process_time() - began < 1


def test_well_filled():
    """A workbook that has been through many hands is taken: it holds thousands of formats that nobody uses."""
    assert read_workbook(repacked(styles(b"font", 5_000))) == read_workbook(workbook())


def test_entities():
    """XML that declares entities is refused, whichever part it stands in."""
    laughs = b'<!DOCTYPE w [<!ENTITY a "aaaaaaaaaa">]>'

    def change(name, content):
        return laughs + content if name == "xl/styles.xml" else content

    assert "damaged" in refused(repacked(change))


def test_entities_in_another_coding():
    """UTF-16 doesn't hide a declaration from the check."""

    def change(name, content):
        if name != "xl/workbook.xml":
            return content
        return ('<?xml version="1.0" encoding="UTF-16"?>' + content.decode()).encode("utf-16")

    assert "damaged" in refused(repacked(change))


def test_stray_cell_far_away():
    """A filled cell in the last row costs nothing: only filled cells are walked."""
    with pytest.raises(
        WorkbookError, match="sheet Parts, cell XFD1048576: stands under no heading"
    ):
        read_workbook(workbook(shape=lambda book: book["Parts"].__setitem__("XFD1048576", "x")))


def hide_row(book):
    book["Parts"].row_dimensions[3].hidden = True


def hide_column(book):
    book["Parts"].column_dimensions["B"].hidden = True


def hide_sheet(book):
    book["Slips"].sheet_state = "hidden"


def hide_sheet_well(book):
    book["Fit"].sheet_state = "veryHidden"


def merge(book):
    book["Parts"].merge_cells("A2:A3")


@pytest.mark.parametrize(
    ("shape", "sentence"),
    [
        (hide_row, "sheet Parts, cell A3: row 3 is hidden; show it"),
        (hide_column, "sheet Parts, cell B1: column B is hidden; show it"),
        (hide_sheet, "sheet Slips: is hidden; show it or delete it."),
        (hide_sheet_well, "sheet Fit: is hidden; show it or delete it."),
        (merge, "sheet Parts, cell A2: the cells A2:A3 are merged; split them"),
    ],
)
def test_unseen(shape, sentence):
    """What a reader of the workbook would not see is refused, not read silently."""
    with pytest.raises(WorkbookError) as error:
        read_workbook(workbook(shape=shape))
    assert any(problem.startswith(sentence) for problem in error.value.problems)


def test_row_without_height():
    """A row of no height is as unseen as a hidden one."""
    flat = repacked(in_parts(b'<row r="4"', b'<row r="4" ht="0" customHeight="1"'))
    assert "sheet Parts, cell A4: row 4 is hidden" in refused(flat)


def test_locked_members():
    """A zip whose members are locked with a password is said to be locked."""
    content = bytearray(workbook())
    at = content.find(b"PK\x01\x02")
    while at >= 0:
        content[at + 8] |= 1
        at = content.find(b"PK\x01\x02", at + 4)
    assert "packed or locked in a way that can't be read" in refused(bytes(content))
