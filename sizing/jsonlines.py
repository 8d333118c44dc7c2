"""Requests in, answers out, one JSON object a line: the shape that every bulk command shares.

'-' is standard input or output. Answers to a file are written beside it and moved into place at the
end, so that a run that fails leaves nothing half-written.
"""

from __future__ import annotations

import contextlib
import json
import os
import sys
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any


class LinesError(ValueError):
    """A file that cannot be read or written as JSON lines: one sentence, with the file and the line."""


def read_lines(path: str) -> Iterator[dict[str, Any]]:
    """The objects of a file of JSON lines; empty lines are passed over. Raises LinesError."""
    name = "standard input" if path == "-" else path
    try:
        with (
            contextlib.nullcontext(sys.stdin.buffer)
            if path == "-"
            else Path(path).open("rb") as lines
        ):
            for number, line in enumerate(lines, 1):
                if line.strip():
                    yield _object(line, f"{name}, line {number}")
    except OSError as problem:
        raise LinesError(f"{name} cannot be read ({problem.strerror}): check the name.") from None


def _object(line: bytes, where: str) -> dict[str, Any]:
    try:
        found = json.loads(line.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise LinesError(f"{where} is not UTF-8 text: save the file as UTF-8.") from None
    except (ValueError, RecursionError):
        raise LinesError(f"{where} is no JSON: write one JSON object a line.") from None
    if not isinstance(found, dict):
        raise LinesError(f"{where} is no JSON object: write it in braces, with an id.")
    return found


def write_lines(path: str, answers: Iterable[dict[str, Any]]) -> int:
    """Write the answers and return how many there were. Raises LinesError."""
    if path == "-":
        return _write(sys.stdout.write, answers)
    target = Path(path)
    draft = target.with_name(f"{target.name}.{os.getpid()}.part")
    try:
        with draft.open("w", encoding="utf-8") as out:
            count = _write(out.write, answers)
        draft.replace(target)
    except OSError as problem:
        raise LinesError(
            f"{path} cannot be written ({problem.strerror}): check the folder."
        ) from None
    finally:
        draft.unlink(missing_ok=True)
    return count


def _write(write: Callable[[str], object], answers: Iterable[dict[str, Any]]) -> int:
    count = 0
    for answer in answers:
        write(json.dumps(answer, ensure_ascii=False) + "\n")
        count += 1
    return count
