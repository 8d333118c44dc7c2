"""What a reader found wrong (problems, which refuse the workbook) or doubtful (warnings)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field


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
