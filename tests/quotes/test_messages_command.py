"""`manage.py read_messages`: messages in a file, answers in a file."""

import io
import json
from datetime import date

import pytest
from django.core.management import CommandError, call_command

from fixtures.build import liner
from sizing import tables

pytestmark = pytest.mark.django_db


@pytest.fixture
def files(tmp_path):
    """The liner family in force, a file of messages to fill, and where the answers go."""
    tables.put_in_force(tables.store_draft(liner(), "test"), date(2026, 1, 1), "tester")
    return tmp_path / "messages.jsonl", tmp_path / "answers.jsonl"


def _run(messages, answers, family="otter-liner"):
    call_command("read_messages", family=family, messages=str(messages), answers=str(answers))


def test_one_answer_a_message(files):
    """Answers come in the order of the messages, in the shape that is promised."""
    messages, answers = files
    lines = [
        {"id": "m1", "text": "Top glass 23 3/4, opening about 54, two in slate. This is Nora Whitcomb, nora@example.com"},
        {"id": 7, "text": "When will it ship?"},
    ]  # fmt: skip
    messages.write_text("\n".join(json.dumps(line) for line in lines))
    _run(messages, answers)
    first, second = (json.loads(line) for line in answers.read_text().splitlines())
    assert first == {
        "id": "m1",
        "openings": [
            {"measures": {"upper_glass": 23.75}, "quantity": 2, "finish": "slate",
             "words": {"upper_glass": "Top glass 23 3/4"}}
        ],
        "contact": {"name": "Nora Whitcomb", "phone": None, "email": "nora@example.com"},
        "unsure": ["54"],
    }  # fmt: skip
    assert second["id"] == 7
    assert second["openings"] == [] and second["unsure"] == []


def test_standard_input_and_output(files, monkeypatch, capsys):
    """A dash is standard input or output."""
    lines = io.TextIOWrapper(io.BytesIO(b'{"id": 1, "text": "opening 54 7/8"}\n'))
    monkeypatch.setattr("sys.stdin", lines)
    _run("-", "-")
    assert json.loads(capsys.readouterr().out)["openings"][0]["measures"] == {"opening": 54.875}


@pytest.mark.parametrize(
    ("content", "family", "says"),
    [
        ('{"id": 1, "text": "opening 54"}\nnot json\n', "otter-liner", "line 2 is no JSON"),
        ('{"id": 1, "text": "opening 54"}\n{"id": 2}\n', "otter-liner", "message 2 has no text"),
        ('{"id": 1, "text": 54}\n', "otter-liner", "message 1 has no text"),
        (
            '{"id": 1, "text": "opening 54"}\n{"id": 2, "text": "'
            + "so " * 7000
            + 'opening 54"}\n',
            "otter-liner",
            "message 2 has 21,010 characters and up to 20,000 are read: take out",
        ),
        ('{"id": 1, "text": "opening 54"}\n', "nobody", "nobody"),
        (None, "otter-liner", "cannot be read"),
    ],
)
def test_bad_input_writes_nothing(files, content, family, says):
    """A bad line, a missing file or an unknown family: one sentence, exit status 2, no answers."""
    messages, answers = files
    if content is not None:
        messages.write_text(content)
    with pytest.raises(CommandError, match=says) as caught:
        _run(messages, answers, family)
    assert caught.value.returncode == 2
    assert "\n" not in str(caught.value)
    assert list(answers.parent.glob("answers*")) == []
