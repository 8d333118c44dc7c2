"""All part numbers there are, at hand: a search asks each of its words whether a part is called so."""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass
from os.path import commonprefix

from quotes.scraps import plain
from sizing.models import Part
from sizing.remembered import remembered


@dataclass(frozen=True)
class Numbers:
    """The part numbers of one revision, without marks, by their keys; `head`: how all of them begin; `one_by_one`:
    all of them, to see of most scraps at once that none holds it."""

    parts: dict[int, str]
    head: str
    one_by_one: str


@remembered(Part)
def part_numbers() -> dict[int, Numbers]:
    """{revision: its part numbers} of every part there is."""
    found: dict[int, dict[int, str]] = defaultdict(dict)
    named = Part.objects.exclude(part_number="").order_by()
    for revision, key, number in named.values_list("revision", "pk", "part_number"):
        found[revision][key] = bare(number)
    return {
        # Letter by letter is what is wanted: these are no paths.
        revision: Numbers(parts, commonprefix(list(parts.values())), "\n".join(parts.values()))  # noqa: RUF071
        for revision, parts in found.items()
    }


@dataclass(frozen=True)
class Called:
    """The parts there are by their numbers without marks, as keys, and the letters that these are made of."""

    parts: dict[str, list[int]]
    letters: frozenset[str]


@remembered(Part)
def called() -> Called:
    found: dict[str, list[int]] = defaultdict(list)
    for of_revision in part_numbers().values():
        for key, number in of_revision.parts.items():
            found[number].append(key)
    return Called(found, frozenset().union(*found))


def bare(number: str) -> str:
    """Letters and digits alone: of "B-854-2" the words of a scrap keep B-8542, as of a phone's number."""
    return re.sub(r"[\W_]", "", plain(number))
