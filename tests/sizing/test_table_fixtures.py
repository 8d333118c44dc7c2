"""The demo's workbooks are what fixtures/build.py makes, and they hold together."""

import json
import re

import pytest

from fixtures import build
from sizing.workbook import read_workbook

TABLES = [build.liner(), build.balance(), build.strip()]


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.code)
def test_kept_workbook(table):
    """The workbook in the repository reads as the table its rule makes."""
    assert read_workbook(build.HERE / f"{table.code}.xlsx")[0] == table


def test_scenario():
    """The scenario names the same families and factories, all with addresses that reach nobody."""
    scenario = json.loads((build.HERE / "scenario.json").read_text(encoding="utf-8"))
    assert scenario == build.SCENARIO
    assert scenario["families"] == [f"{table.code}.xlsx" for table in TABLES]
    assert {f["name"] for f in scenario["factories"]} == {table.factory for table in TABLES}
    people = [scenario["supplier"], *scenario["factories"]]
    assert all(one["email"].endswith(".example") for one in people)


def test_build_writes_them(tmp_path):
    """Building anew into an empty folder gives all files; a second time nothing is touched."""
    build.build(tmp_path)
    names = sorted(path.name for path in tmp_path.iterdir())
    assert names == sorted(["scenario.json", *build.SCENARIO["families"]])
    before = {path.name: path.read_bytes() for path in tmp_path.glob("*.xlsx")}
    build.build(tmp_path)
    assert {path.name: path.read_bytes() for path in tmp_path.glob("*.xlsx")} == before


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.code)
def test_words_to_read_out(table):
    """Each measure has words to read to a caller, each family questions of fit."""
    assert all(len(measure.how_to) > 40 for measure in table.measures)
    assert table.fit


def test_one_finish_lacks_one_size():
    """Chalk is not made at one size, in any class; everything else is offered."""
    liner = build.liner()
    lacking = {(p.row, p.finish) for p in liner.parts if p.part_number is None}
    assert len(lacking) == 1
    assert {finish for _, finish in lacking} == {"chalk"}


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.code)
def test_words_for_whoever_reads_them(table):
    """How to measure and what fits is read out by the desk and read by customers: nobody in them is "me", and
    nothing in them is a clerk's to do."""
    read = [m.how_to for m in table.measures] + [f.otherwise for f in table.fit]
    read += [said for _language, _text, said in table.words]
    desks = r"(?i)\b(me|us|we|ask for|offer|dígame|díganos|pida|ofrezca)\b"
    assert not [words for words in read if re.search(desks, words)]
