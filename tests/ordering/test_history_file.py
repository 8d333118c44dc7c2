from datetime import date
from io import StringIO

import pytest

from ordering.history import BLOCK, HistoryError, Line, read_history

HEAD = "reference,family,part_number,quantity,ordered_on,shipped_on,promised_on\n"
FAMILIES = {"ROVE": 7, "TARN": 8}


def read(text):
    return list(read_history(StringIO(text), "past.csv", FAMILIES))


def problems(text):
    with pytest.raises(HistoryError) as error:
        read(text)
    return error.value.problems


def test_a_line_is_read_as_it_stands():
    """Every cell of a good line is kept, blanks of shipped_on and promised_on as nothing."""
    assert read(HEAD + "K-1,ROVE,RV-20,3,2026-01-05,2026-02-10,\n") == [
        Line("K-1", 7, "RV-20", 3, date(2026, 1, 5), date(2026, 2, 10), None)
    ]


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff" + HEAD + "K-1,ROVE,RV-20,3,2026-01-05,,\n",
        HEAD.upper() + "K-1,ROVE,RV-20,3,2026-01-05,,\n",
        HEAD.replace("_", " ") + " K-1 , ROVE ,RV-20, 3 ,2026-01-05,,\n",
        HEAD + "K-1,ROVE,RV-20,3,2026-01-05\n",
        HEAD.replace("\n", "\r\n") + "\r\nK-1,ROVE,RV-20,3,2026-01-05,,\r\n\r\n",
        "ordered_on,note,quantity,part_number,family,reference,promised_on,shipped_on\n"
        "2026-01-05,said by phone,3,RV-20,ROVE,K-1,,\n",
    ],
    ids=["byte-order mark", "capitals", "spaces", "no blanks at the end", "CRLF", "other order"],
)
def test_harmless_differences_are_taken(text):
    """Byte-order mark, letter case, spaces, line ends, column order and further columns don't matter."""
    assert read(text) == [Line("K-1", 7, "RV-20", 3, date(2026, 1, 5), None, None)]


@pytest.mark.parametrize(
    ("line", "where", "said"),
    [
        (",ROVE,RV-20,3,2026-01-05,,", "line 2, reference", "fill it in"),
        ("K-1,WEIR,RV-20,3,2026-01-05,,", "line 2, family", "there are: ROVE, TARN"),
        ("K-1,ROVE,RV-20,0,2026-01-05,,", "line 2, quantity", "whole number of 1 or more"),
        ("K-1,ROVE,RV-20,2.5,2026-01-05,,", "line 2, quantity", "“2.5”"),
        ("K-1,ROVE,RV-20,9999999,2026-01-05,,", "line 2, quantity", "whole number"),
        ("K-1,ROVE,RV-20,3,01/05/2026,,", "line 2, ordered_on", "YYYY-MM-DD"),
        ("K-1,ROVE,RV-20,3,20260105,,", "line 2, ordered_on", "YYYY-MM-DD"),
        ("K-1,ROVE,RV-20,3,2026-02-30,,", "line 2, ordered_on", "“2026-02-30” is no date"),
        ("K-1,ROVE,RV-20,3,1026-02-03,,", "line 2, ordered_on", "mend the year"),
        ("K-1,ROVE,RV-20,3,2026-01-05,2026-01-04,", "line 2, shipped_on", "before ordered_on"),
        ("K-1,ROVE,RV-20,3,2026-01-05,,soon", "line 2, promised_on", "“soon”"),
        ("K" * 81 + ",ROVE,RV-20,3,2026-01-05,,", "line 2, reference", "shorten"),
        ("K\x07,ROVE,RV-20,3,2026-01-05,,", "line 2, reference", "type it again"),
    ],
)
def test_a_bad_cell_is_named(line, where, said):
    """The message names file, line and column, what stands there and how to mend it."""
    (problem,) = problems(HEAD + line + "\n")
    assert problem.startswith(f"past.csv, {where}: ")
    assert said in problem


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "is empty"),
        ("reference,family\nK-1,ROVE\n", "no column part_number, quantity"),
        (HEAD.replace(",", ";"), "with commas between"),
        (HEAD.replace("family", "reference"), "no column family"),
        (HEAD.replace("\n", ",family\n"), "two columns are called family"),
        ("PK\x03\x04\0\0\n", "no CSV file"),
    ],
)
def test_a_file_without_the_columns_is_refused(text, said):
    """A missing or doubled column, or a file of another kind, is said in one sentence."""
    (problem,) = problems(text)
    assert said in problem


def test_a_reference_twice_names_both_lines():
    """A reference that stands twice is refused with both its lines."""
    (problem,) = problems(HEAD + "K-1,ROVE,RV-20,3,2026-01-05,,\n" * 2)
    assert "line 3, reference" in problem
    assert "line 2 already" in problem


def test_a_reference_thousands_of_lines_later_names_both_lines():
    """However far apart, the second one is refused with both its lines."""
    between = "".join(f"K-{i},ROVE,RV-20,3,2026-01-05,,\n" for i in range(2 * BLOCK))
    (problem,) = problems(HEAD + between + "K-17,ROVE,RV-20,3,2026-01-05,,\n")
    assert f"line {2 * BLOCK + 2}, reference: “K-17” stands in line 19 already" in problem


def test_faults_are_told_from_the_top():
    """Whatever is wrong with them, the faults are named in the order of their lines."""
    good, bad = "K-1,ROVE,RV-20,3,2026-01-05,,\n", "K-2,ROVE,RV-20,x,2026-01-05,,\n"
    told = problems(HEAD + good + good + bad)
    assert [said.split(",")[1] for said in told] == [" line 3", " line 4"]


def test_all_faults_of_a_file_are_gathered():
    """Faults of later lines are named too, up to twenty."""
    assert len(problems(HEAD + "K-1,ROVE,RV-20,x,2026-01-05,,\n" * 3)) == 3
    assert len(problems(HEAD + "K-1,ROVE,RV-20,x,2026-01-05,,\n" * 50)) == 20


def test_bytes_of_another_encoding_are_named(tmp_path):
    """A file that is not UTF-8 is told to be saved as such."""
    path = tmp_path / "past.csv"
    path.write_bytes(HEAD.encode() + "Kö,ROVE,RV-20,3,2026-01-05,,\n".encode("latin-1"))
    with (
        path.open(encoding="utf-8-sig", newline="") as lines,
        pytest.raises(HistoryError, match="UTF-8"),
    ):
        list(read_history(lines, "past.csv", FAMILIES))
