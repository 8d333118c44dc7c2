"""What a reader found wrong (problems, which refuse the workbook) or doubtful (warnings)."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

# So many alike in one column are told one by one; of more the first stands for all.
MOST_ALIKE = 3
_CELL = re.compile(r"cell ([A-Z]+)([0-9]+): ")
_VARYING = re.compile(r"“[^”]*”|[A-Z]*[0-9][0-9.:A-Z]*")


class WorkbookError(ValueError):
    """A workbook that is refused. `problems` holds every sentence: where, what, how to mend it."""

    def __init__(self, problems: Iterable[str]) -> None:
        self.problems = tuple(problems)
        super().__init__(self.problems[0])

    @property
    def first_and_count(self) -> str:
        """The first problem on one line, with the number of those behind it."""
        more = len(self.problems) - 1
        return f"{self.problems[0]} (and {more} more)" if more else self.problems[0]

    @property
    def gathered(self) -> list[str]:
        """The problems as a person mends them: where a column has the same in many cells, the first of them and
        how far down it goes, as a price typed with its sign is wrong two hundred times."""
        alike: dict[str, list[str]] = {}
        for problem in self.problems:
            alike.setdefault(_VARYING.sub("", _CELL.sub(r"\1: ", problem)), []).append(problem)
        found = []
        for first, *more in alike.values():
            last = _CELL.search(more[-1]) if len(more) >= MOST_ALIKE else None
            if last is None:
                found += [first, *more]
            else:
                to = "".join(last.groups())
                found.append(f"{first} The same in {len(more)} more cells below it, down to {to}.")
        return found


@dataclass
class Notes:
    problems: list[str] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)

    def problem(self, where: str, words: str) -> None:
        self.problems.append(f"{where}: {words}")

    def warning(self, where: str, words: str) -> None:
        self.warnings.append(f"{where}: {words}")

    def stop_if_any(self) -> None:
        if self.problems:
            raise WorkbookError(self.problems)
