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


def faults(text):
    """(the faults that are named, how many more there are)"""
    with pytest.raises(HistoryError) as error:
        read(text)
    return error.value.problems, error.value.unnamed


def test_all_faults_of_a_file_are_gathered():
    """In one round: faults of later lines, too, the first twenty in words and the rest as a number."""
    bad = "".join(f"K-{i},ROVE,RV-20,x,2026-01-05,,\n" for i in range(50))
    named, more = faults(HEAD + bad)
    assert (len(named), more) == (20, 30)
    assert "line 21," in named[-1]
    named, more = faults(HEAD + bad + "K-60,ROVE,RV-20,3,2026-01-05,,\n" * 2)
    assert (len(named), more) == (20, 31)


def test_faults_after_a_reference_that_stands_twice():
    """Mended one by one each would cost a round: what is wrong thousands of lines later is told at once."""
    good = "".join(f"K-{i},ROVE,RV-20,3,2026-01-05,,\n" for i in range(BLOCK))
    far = "L-1,WEIR,RV-20,x,2026-13-05,,\n"
    named, more = faults(HEAD + "K-1,ROVE,RV-20,3,2026-01-05,,\n" + good + far)
    assert [said.split(": ")[0].split(", ", 1)[1] for said in named] == [
        "line 4, reference", f"line {BLOCK + 3}, family", f"line {BLOCK + 3}, quantity",
        f"line {BLOCK + 3}, ordered_on",
    ]  # fmt: skip
    assert more == 0


def test_a_reference_that_stands_twice_in_a_line_with_another_fault():
    """Both are told: mending the count would otherwise bring up the reference."""
    told = problems(HEAD + "K-1,ROVE,RV-20,x,2026-01-05,,\nK-1,ROVE,RV-20,3,2026-13-05,,\n")
    assert [said.split(": ")[0] for said in told] == [
        "past.csv, line 2, quantity", "past.csv, line 3, ordered_on", "past.csv, line 3, reference",
    ]  # fmt: skip


def test_faults_before_the_place_where_a_file_breaks_off():
    """A file that can't be read to its end tells what was wrong up to there, too."""
    told = problems(HEAD + "K-1,ROVE,RV-20,x,2026-01-05,,\n" + '"' + "a" * 200_000)
    assert len(told) == 2 and "quantity" in told[0] and "no readable CSV" in told[1]


def test_bytes_of_another_encoding_are_named(tmp_path):
    """A file that is not UTF-8 is told to be saved as such."""
    path = tmp_path / "past.csv"
    path.write_bytes(HEAD.encode() + "Kö,ROVE,RV-20,3,2026-01-05,,\n".encode("latin-1"))
    with (
        path.open(encoding="utf-8-sig", newline="") as lines,
        pytest.raises(HistoryError, match="UTF-8"),
    ):
        list(read_history(lines, "past.csv", FAMILIES))


def test_nothing_is_given_out_before_all_is_read():
    """Whoever stores what comes need not hold the database until the last line is checked."""
    good = "".join(f"K-{i},ROVE,RV-20,3,2026-01-05,,\n" for i in range(BLOCK + 1))
    rows = read_history(
        StringIO(HEAD + good + "K-x,ROVE,RV-20,none,2026-01-05,,\n"), "past.csv", FAMILIES
    )
    with pytest.raises(HistoryError, match="quantity"):
        next(rows)
