"""All words that a reading quotes know where in the message they stand."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from quotes.messages import Message, Stretch, read_message
from tests.quotes.message_sets import TABLES

SETS = sorted((Path(__file__).parent / "messages").glob("*.jsonl"))


def stretches(read: Message) -> Iterator[Stretch]:
    for opening in read.openings:
        yield from (*opening.words.values(), opening.quantity_words, opening.finish_words)
    yield from (*dict(read.contact.words).values(), *read.unsure, *read.split)


@pytest.mark.parametrize("path", SETS, ids=lambda path: path.stem)
def test_places(path):
    """In every message of the sets, each stretch is the text between its two offsets."""
    counted = 0
    for sample in map(json.loads, path.read_text(encoding="utf-8").splitlines()):
        text = sample["text"]
        for words in stretches(read_message(text, TABLES[sample["family"]])):
            assert (sample["id"], text[words.start : words.end]) == (sample["id"], words)
            counted += 1
    assert counted > 100


def test_place_of_an_earlier_mail():
    """Words that only an earlier, quoted mail says are found where they stand in it."""
    text = (
        "Remeasured: upper glass is 18 5/8, everything else as you have it below.\n\n"
        "On Mon, Mar 9, 2026 Counter wrote:\n> upper glass 18 1/2\n> opening 42 3/8\n"
    )
    (opening,) = read_message(text, TABLES["inch"]).openings
    words = opening.words["opening"]
    assert (words, words.start) == ("opening 42 3/8", text.index("opening 42 3/8"))
    assert opening.words["upper_glass"].start == text.index("upper glass is 18 5/8")
