"""The same facts in many ways of writing: no number lands in a wrong measure."""

import pytest

from quotes.messages import read_message
from tests.quotes.message_grammar import message
from tests.quotes.message_sets import TABLES, judge

MESSAGES = 100


@pytest.mark.parametrize("batch", range(6))
def test_no_number_in_a_wrong_measure(batch):
    """Of a hundred messages none puts a number into a wrong measure, and at most two leave one out."""
    short = []
    for seed in range(batch * MESSAGES, (batch + 1) * MESSAGES):
        sample = message(seed)
        verdict = judge(sample, read_message(sample["text"], TABLES["inch"]))
        assert verdict.wrong == [], sample["text"]
        short += [(sample["text"], verdict.problems)] if verdict.problems else []
    assert len(short) <= 2, short
