"""What is fed with anything at all, and what must hold of it: each target makes one input of random bytes.

A target raises when a parser does: only its declared error is an answer, and that in one sentence.
`Bytes` gives the pieces an input is made of; atheris steers it, so bytes that reach new code are kept.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Sequence
from functools import cache
from typing import Any

import atheris
from openpyxl import load_workbook
from openpyxl.cell import MergedCell

from quotes.messages import LONGEST as LONGEST_MESSAGE
from quotes.messages import read_message
from quotes.schedule import read_schedule, template_bytes
from sizing import jsonlines, lengths, weights
from sizing.lengths import LengthError, Unit
from sizing.weights import WeightError, WeightUnit
from sizing.workbook import WorkbookError, read_workbook
from tests.quotes.message_sets import TABLES
from tests.sizing.sheets import SOUND, workbook

Bytes = atheris.FuzzedDataProvider

_SAID = (
    "0 1 2 3 5 9 16 17 32 33 64 99 127 1026 3/8 5/8 12/8 1/64 63/64 0/0 / . , ; : - – ' \" '' ″ ′ ⁄ ½ ⅝ ⅜ ⁵ ₈ ３ "
    "ft in inch inches feet foot mm cm m lb lbs pounds oz ounces kg g and a half quarter three eighths thirty second "
    "twelve dozen of + x × ° ( ) # _ e nan inf 1,234 8.5 \u200b \x00 \u0301 \ufeff \n \t"
)
_SPOKEN = (
    "upper lower top bottom both glass pane opening long point liner sash weight weighs is or not no wait sorry make "
    "that same as above the other two x 32x54 | > 1) 2. * kitchen bath window windows qty x2 pair each all ash slate "
    "chalk about maybe between # 12 lb 202-555-0143 a@b.example $40 Thanks, Nora wide high upper_glass UG LG op room "
    "finish ? ! @ & 99999999999 On Monday wrote: From: -- <b> \r\n \n\n"
)
_JSON = '{ } [ ] : , " \\ \\u12 null true 1e999 -0 NaN "id" "a1" "measures" \x00 \xff'
# Not split(): a blank, a tab and an odd space are pieces too.
SAID, JSON = _SAID.split(" "), _JSON.split(" ")
SPOKEN = [*SAID, *_SPOKEN.split(" ")]


def text_of(data: Bytes, words: Sequence[str], most: int) -> str:
    """Words of the trade with or without gaps, or characters of any kind."""
    if data.ConsumeBool():
        return data.ConsumeUnicode(most)
    gap = data.PickValueInList([" ", "", "\n", "-"])
    count = data.ConsumeIntInRange(0, most)
    return gap.join(data.PickValueInList(list(words)) for _ in range(count))[: most * 8]


def check_sentence(said: str) -> None:
    assert said.endswith(".") and said.isprintable() and len(said) < 300, said


def check_length(text: str, unit: Unit) -> None:
    """A text is a length within bounds, written and read again as the same, or one sentence."""
    try:
        found = lengths.parse_length(text, unit)
    except LengthError as refused:
        check_sentence(str(refused))
        return
    assert type(found) is int and 0 < found <= lengths.LONGEST, (text, found)


def check_weight(text: str, unit: WeightUnit) -> None:
    """A text is a weight within bounds, or one sentence."""
    try:
        found = weights.parse_weight(text, unit)
    except WeightError as refused:
        check_sentence(str(refused))
        return
    assert type(found) is int and 0 < found <= weights.HEAVIEST, (text, found)


def check_message(text: str, family: str) -> None:
    """A message is read, and only its own words are quoted."""
    read = read_message(text[:LONGEST_MESSAGE], TABLES[family])
    said = [words for opening in read.openings for words in opening.words.values()]
    assert all(words in text for words in [*said, *read.unsure, *read.split]), text
    assert all(one.quantity >= 1 and one.measures for one in read.openings), text


def check_workbook(content: bytes) -> None:
    """A workbook is a size table or a list of sentences that say where."""
    try:
        read_workbook(content)
    except WorkbookError as refused:
        assert refused.problems and all(refused.problems)


def check_schedule(content: bytes) -> None:
    """A workbook is a schedule of lines, or a list of sentences."""
    try:
        read_schedule(content, TABLES["inch"])
    except WorkbookError as refused:
        assert refused.problems and all(refused.problems)


def check_line(line: bytes) -> None:
    """A line of JSON is an object, or one sentence that names the line."""
    try:
        found = jsonlines._object(line, "here, line 1")
    except jsonlines.LinesError as refused:
        assert str(refused).startswith("here, line 1")
        return
    assert isinstance(found, dict)


def length(data: Bytes) -> None:
    check_length(text_of(data, SAID, 14), data.PickValueInList(list(Unit)))


def weight(data: Bytes) -> None:
    check_weight(text_of(data, SAID, 12), data.PickValueInList(list(WeightUnit)))


def message(data: Bytes) -> None:
    check_message(text_of(data, SPOKEN, 120), data.PickValueInList(sorted(TABLES)))


def json_line(data: Bytes) -> None:
    if data.ConsumeBool():
        check_line(data.ConsumeBytes(200))
    else:
        check_line(text_of(data, JSON, 60).encode(errors="surrogatepass"))


def table_cells(data: Bytes) -> None:
    """The sound size table with up to eight cells replaced, added or emptied."""
    check_workbook(workbook(lambda sheets: _spoil(data, sheets)))


def table_bytes(data: Bytes) -> None:
    check_workbook(_damaged(data, workbook()))


def schedule_cells(data: Bytes) -> None:
    """The template of a window schedule, filled with anything."""
    book = io.BytesIO(_template())
    check_schedule(_filled(data, book))


def schedule_bytes(data: Bytes) -> None:
    check_schedule(_damaged(data, _template()))


@cache
def _template() -> bytes:
    return template_bytes(TABLES["inch"])


def _value(data: Bytes) -> Any:
    """What a cell may hold: a text, a number, a date's number, yes or no, nothing, a formula."""
    return data.PickValueInList(
        [
            lambda: re.sub(r"[\x00-\x08\x0b-\x1f\ud800-\udfff\ufffe\uffff]", "?", text_of(data, SAID, 10)),
            lambda: data.ConsumeFloatInRange(-1e6, 1e6),
            lambda: data.ConsumeIntInRange(-10, 10**12),
            data.ConsumeBool,
            lambda: None,
            lambda: "=1+1",
        ]
    )()  # fmt: skip


def _spoil(data: Bytes, sheets: dict[str, list[list[Any]]]) -> None:
    for _ in range(data.ConsumeIntInRange(1, 8)):
        lines = sheets[data.PickValueInList(sorted(SOUND))]
        line = data.ConsumeIntInRange(0, len(lines))
        if line == len(lines):
            lines.append([_value(data) for _ in range(data.ConsumeIntInRange(0, 9))])
            continue
        place = data.ConsumeIntInRange(0, max(len(lines[line]) - 1, 0))
        if lines[line]:
            lines[line][place] = _value(data)


def _filled(data: Bytes, book: io.BytesIO) -> bytes:
    read = load_workbook(book)
    sheet = read.worksheets[0]
    for _ in range(data.ConsumeIntInRange(1, 12)):
        row, column = data.ConsumeIntInRange(1, 14), data.ConsumeIntInRange(1, 12)
        cell, value = sheet.cell(row, column), _value(data)
        if not isinstance(cell, MergedCell):
            cell.value = value
    out = io.BytesIO()
    read.save(out)
    return out.getvalue()


def _damaged(data: Bytes, sound: bytes) -> bytes:
    """Any bytes; the file with bytes changed; or one of its parts with its XML changed, packed again."""
    way = data.ConsumeIntInRange(0, 2)
    if way == 0:
        return b"PK" + data.ConsumeBytes(400)
    if way == 1:
        spoiled = bytearray(sound)
        for _ in range(data.ConsumeIntInRange(1, 6)):
            spoiled[data.ConsumeIntInRange(0, len(spoiled) - 1)] = data.ConsumeIntInRange(0, 255)
        return bytes(spoiled)
    return _with_other_xml(data, sound)


_XML_PIECES = (
    b'<c r="A1"/>', b'<c r="ZZZ9999999"><v>1</v></c>', b'<c t="s"><v>99</v></c>', b'<c t="d"><v>x</v></c>',
    b'<row r="-1">', b"</row>", b"<v>", b"</v>", b"1e999", b'"', b"<", b"&#0;", b"&x;", b"<f>1</f>", b"NaN",
    b'<mergeCell ref="A1:C3"/>', b'<mergeCell ref="A1:"/>', b'<dimension ref="A1:XFD1048576"/>', b's="9999"',
    b't="b"', b'<is><t>x</t></is>', b"", b"\xff",
)  # fmt: skip


def _with_other_xml(data: Bytes, sound: bytes) -> bytes:
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(sound)) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as new,
    ):
        chosen = data.PickValueInList(old.namelist())
        for name in old.namelist():
            content = old.read(name)
            if name == chosen:
                at = data.ConsumeIntInRange(0, len(content))
                cut = data.ConsumeIntInRange(0, 40)
                content = (
                    content[:at] + data.PickValueInList(list(_XML_PIECES)) + content[at + cut :]
                )
            new.writestr(name, content)
    return out.getvalue()


TARGETS: dict[str, Callable[[Bytes], None]] = {
    target.__name__: target
    for target in (
        length, weight, message, json_line, table_cells, table_bytes, schedule_cells, schedule_bytes,
    )
}  # fmt: skip
