"""`manage.py resolve`: a family in the database, requests in a file, answers in a file."""

import json

import pytest
from django.core.management import CommandError, call_command

from fixtures.build import liner
from sizing import tables

pytestmark = pytest.mark.django_db


@pytest.fixture
def in_force():
    from datetime import date

    tables.put_in_force(tables.store_draft(liner(), "test"), date(2026, 1, 1), "tester")


def test_answers_every_line(in_force, tmp_path):
    """One answer a request, in order, from the revision in force."""
    requests, answers = tmp_path / "q.jsonl", tmp_path / "a.jsonl"
    lines = [
        {"id": "a1", "measures": {"upper_glass": "23 3/4", "opening": "4' 6 7/8\"", "sash_weight": 10},
         "finish": "ash", "quantity": 2},
        {"id": "a2", "measures": {"long_point": "55 5/8"}},
    ]  # fmt: skip
    requests.write_text("\n".join(json.dumps(line) for line in lines))
    call_command("resolve", family="otter-liner", requests=str(requests), answers=str(answers))
    found = [json.loads(line) for line in answers.read_text().splitlines()]
    assert [(a["id"], a["outcome"]) for a in found] == [("a1", "part"), ("a2", "ask")]
    assert found[0]["part_number"] == "OHL-07LA"


@pytest.mark.parametrize("family", ["otter-liner", "nobody"])
def test_bad_input_writes_nothing(in_force, tmp_path, family):
    """A bad line or an unknown family: one sentence, exit status 2, no answers file."""
    requests, answers = tmp_path / "q.jsonl", tmp_path / "a.jsonl"
    requests.write_text('{"id": 1}\nnot json\n')
    with pytest.raises(CommandError) as caught:
        call_command("resolve", family=family, requests=str(requests), answers=str(answers))
    assert caught.value.returncode == 2
    assert not answers.exists()
