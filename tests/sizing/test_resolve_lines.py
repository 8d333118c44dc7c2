"""Requests as plain dictionaries: the answer's shape, and one bad request does not hold up the rest."""

import json
from dataclasses import replace

from sizing.lengths import Unit, from_number
from sizing.resolver.lines import answer_lines, row_texts
from tests.sizing.desk import family

KEYS = {"id", "outcome", "part_number", "row", "ask", "reason", "certainty", "text"}


def test_each_outcome_has_the_same_keys():
    """A part, a question, a special and an error all carry the same fields, in the requests' order."""
    size = {"upper_glass": "23 3/4", "opening": "54 7/8"}
    answers = answer_lines(
        family("liner"),
        [
            {"id": "p", "measures": {**size, "sash_weight": "10"}, "finish": "ash", "quantity": 2},
            {"id": "q", "measures": size},
            {"id": "s", "measures": {**size, "upper_glass": "17"}},
            {"id": "e", "measures": {"opening": "2-6"}},
            {"id": "n"},
        ],
    )
    assert [a["id"] for a in answers] == ["p", "q", "s", "e", "n"]
    assert [a["outcome"] for a in answers] == ["part", "ask", "special", "error", "ask"]
    assert all(set(a) == KEYS for a in answers)
    assert answers[0]["part_number"] == "OHL-07LA"
    assert answers[0]["row"] == {"glass": "23 3/4", "opening": "54 7/8", "long_point": "55 5/8"}
    assert (answers[1]["ask"], answers[1]["row"]["glass"]) == ("sash_weight", "23 3/4")
    assert answers[3]["row"] is None and "2-6" in answers[3]["text"]
    json.dumps(answers, allow_nan=False)


def test_shapes_that_are_no_request():
    """Wrong kinds of values are named, not tripped over."""
    wrong = [
        {"id": 1, "measures": ["17"]},
        {"id": 2, "measures": {}, "finish": 3},
        {"id": 3, "measures": {}, "quantity": 0},
        {"id": 4, "measures": {}, "sash": "pine"},
        {"id": 5, "measures": {"width": "3"}},
    ]
    answers = answer_lines(family("liner"), wrong)
    assert {a["outcome"] for a in answers} == {"error"}
    assert [a["id"] for a in answers] == [1, 2, 3, 4, 5]


def test_row_is_written_exactly():
    """The row of an answer can be compared with the table: no size is rounded for show."""
    table = replace(family("liner").table, rows=((from_number(17.3, Unit.INCH), 127, 8128),))
    assert row_texts(table, 0) == {"glass": "17.3", "opening": "1/64", "long_point": "1"}
    metric = replace(table, unit=Unit.MM, rows=((from_number(1009.65, Unit.MM), 320, 32),))
    assert row_texts(metric, 0) == {"glass": "1009.65", "opening": "1", "long_point": "0.1"}
