"""Messages are read as they were meant, or named as unsure."""

import pytest

from quotes.messages import read_message
from tests.quotes.message_sets import SETS, TABLES, judge, samples


def _samples(name: str) -> list:
    return [pytest.param(sample, id=sample["id"]) for sample in samples(name)]


@pytest.mark.parametrize("name", [path.stem for path in sorted(SETS.glob("*.jsonl"))])
def test_sets_are_there(name):
    """Every set has messages, each with its own id."""
    ids = [param.id for param in _samples(name)]
    assert ids and len(set(ids)) == len(ids)


@pytest.mark.parametrize(
    "sample", [sample for path in sorted(SETS.glob("*.jsonl")) for sample in _samples(path.stem)]
)
def test_message_is_read(sample):
    """Openings, contact and doubts are as expected, and all quoted words stand in the message."""
    verdict = judge(sample, read_message(sample["text"], TABLES[sample["family"]]))
    assert verdict.problems == []
