"""The rule by which a reading is held against what was expected, and how the sets were read at first.

The messages of a set whose lines have `first` were written with their answers before the reader saw
them. `first` says how the reader of that day read the message: right, unsure (right, and something
sure was named as in doubt), short (something was not read) or wrong (a number in a wrong measure).
`short` marks those that it still leaves in doubt. The shares: python -m tests.quotes.message_sets
"""

import json
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from quotes.messages import Message, ReadOpening
from tests.quotes.message_families import TABLES

__all__ = ["SETS", "TABLES", "Verdict", "judge", "samples"]
SETS = Path(__file__).parent / "messages"


def samples(name: str) -> list[dict]:
    """The messages of one set, each with the answers that are expected."""
    lines = (SETS / f"{name}.jsonl").read_text(encoding="utf-8").splitlines()
    return [json.loads(line) for line in lines]


@dataclass
class Verdict:
    """What differs from the expectation; `wrong` are measures placed with a value nobody gave them."""

    problems: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)


def judge(sample: dict, read: Message) -> Verdict:
    """Hold one reading against {"expect": {"openings", "contact", "unsure_contains"}}."""
    verdict, expect = Verdict(), sample["expect"]
    wanted = expect.get("openings", [])
    if len(read.openings) != len(wanted):
        verdict.problems.append(f"{len(read.openings)} openings, expected {len(wanted)}")
    for at, opening in enumerate(read.openings):
        _opening(verdict, at, opening, wanted[at] if at < len(wanted) else {"measures": {}})
        for words in opening.words.values():
            if words not in sample["text"]:
                verdict.problems.append(f"{words!r} is not in the message")
    for key, value in expect.get("contact", {}).items():
        if getattr(read.contact, key) != value:
            verdict.problems.append(f"{key} {getattr(read.contact, key)!r}, expected {value!r}")
    for words in expect.get("unsure_contains", []):
        if not any(words in said for said in read.unsure):
            verdict.problems.append(f"{words!r} is not among the unsure {read.unsure}")
    for said in read.unsure:
        if said not in sample["text"]:
            verdict.problems.append(f"{said!r} is not in the message")
    return verdict


def _opening(verdict: Verdict, at: int, opening: ReadOpening, wanted: dict) -> None:
    left = {code: float(value) for code, value in opening.measures.items()}
    for names, value in wanted["measures"].items():
        code = next((c for c in names.split("|") if _same(left.get(c), value)), None)
        if code is None:
            verdict.problems.append(f"opening {at}: {names} {value} was not read")
        else:
            del left[code]
    for code, value in left.items():
        verdict.wrong.append(f"opening {at}: {code} {value}")
        verdict.problems.append(f"opening {at}: {code} {value} was placed and is not said")
    for key, got in (("quantity", opening.quantity), ("finish", opening.finish)):
        if key in wanted and got != wanted[key]:
            verdict.problems.append(f"opening {at}: {key} {got!r}, expected {wanted[key]!r}")


def _same(got: float | None, value: float) -> bool:
    return got is not None and abs(got - float(value)) < 0.001


if __name__ == "__main__":
    for path in sorted(SETS.glob("*.jsonl")):
        found = samples(path.stem)
        first = Counter(sample["first"] for sample in found if "first" in sample)
        left = sum("short" in sample for sample in found)
        print(
            f"{path.stem}: {len(found)} messages, {left} left in doubt; first read: {dict(first)}"
        )
