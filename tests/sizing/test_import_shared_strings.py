"""Spreadsheet programs keep texts in one shared list; such a workbook reads the same."""

import io
import re
import zipfile

from sizing.workbook import read_workbook
from tests.sizing.sheets import workbook

KIND = "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
RELATION = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings"
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
INLINE = re.compile(r't="inlineStr"><is><t[^>]*>(.*?)</t></is></c>')


def with_shared_strings(content):
    """The same workbook with every inline text moved to xl/sharedStrings.xml."""
    texts = []

    def move(match):
        texts.append(match.group(1))
        return f't="s"><v>{len(texts) - 1}</v></c>'

    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            xml = old.read(name).decode()
            if name.startswith("xl/worksheets/"):
                xml = INLINE.sub(move, xml)
            elif name == "[Content_Types].xml":
                part = f'<Override PartName="/xl/sharedStrings.xml" ContentType="{KIND}"/></Types>'
                xml = xml.replace("</Types>", part)
            elif name == "xl/_rels/workbook.xml.rels":
                part = f'<Relationship Id="rIdTexts" Type="{RELATION}" Target="sharedStrings.xml"/>'
                xml = xml.replace("</Relationships>", f"{part}</Relationships>")
            new.writestr(name, xml)
        items = "".join(f"<si><t>{text}</t></si>" for text in texts)
        new.writestr("xl/sharedStrings.xml", f'<sst xmlns="{MAIN}">{items}</sst>')
    assert len(texts) > 50
    return out.getvalue()


def test_same_table():
    """Inline or shared, the texts mean the same."""
    assert read_workbook(with_shared_strings(workbook())) == read_workbook(workbook())
