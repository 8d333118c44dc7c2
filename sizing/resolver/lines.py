"""An opening as a plain dictionary in, its answer as a plain dictionary out: what commands and the API speak."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sizing.lengths import Length, Step, Unit, format_length, from_number, to_decimal
from sizing.resolver import CompiledTable, OpeningError, read_opening, resolve
from sizing.resolver.answer import Answer, Opening
from sizing.table import SizeTable

MOST_AT_ONCE = 2000


def answer_lines(
    compiled: CompiledTable, requests: Sequence[Mapping[str, Any]]
) -> list[dict[str, Any]]:
    """Answer requests in order.

    A request is {"id", "measures": {code: text or number, or null where nobody can take it},
    "finish", "quantity", "sash"}; all but the id may be missing. What cannot be read gets the
    outcome "error" with the reason "bad_input" and does not hold up the others.
    """
    answers: list[dict[str, Any]] = [{} for _ in requests]
    openings: list[tuple[int, Opening]] = []
    for place, request in enumerate(requests):
        try:
            openings.append((place, opening_of(compiled.table, request)))
        except OpeningError as problem:
            answers[place] = _line(request, "error", "bad_input", str(problem))
    for start in range(0, len(openings), MOST_AT_ONCE):
        batch = openings[start : start + MOST_AT_ONCE]
        found = resolve(compiled, [opening for _, opening in batch])
        for (place, _), answer in zip(batch, found, strict=True):
            answers[place] = as_line(compiled.table, requests[place], answer)
    return answers


def opening_of(table: SizeTable, request: Mapping[str, Any]) -> Opening:
    """The opening of a request dictionary. Raises OpeningError."""
    measures, finish = request.get("measures") or {}, request.get("finish")
    sash, quantity = request.get("sash"), request.get("quantity", 1)
    problems = {}
    if not isinstance(measures, Mapping):
        problems["measures"] = "The measures are no object: write {code: length}."
    if finish is not None and not isinstance(finish, str):
        problems["finish"] = f"The finish {finish!r} is no text: write a finish of the family."
    if sash is not None and not (
        isinstance(sash, Mapping) and all(isinstance(v, str) for v in sash.values())
    ):
        problems["sash"] = "The sash is no object of texts: write {field: text}."
    if quantity is not None and (
        isinstance(quantity, bool) or not isinstance(quantity, int) or quantity < 1
    ):
        problems["quantity"] = (
            f"The quantity {quantity!r} is no count: write a whole number from 1."
        )
    if problems:
        raise OpeningError(problems)
    return read_opening(table, measures, finish=finish, sash=sash)


def as_line(table: SizeTable, request: Mapping[str, Any], answer: Answer) -> dict[str, Any]:
    """An answer as a dictionary, its row in the family's unit."""
    line = _line(request, answer.outcome, answer.reason, answer.text)
    if answer.row is not None:
        line["row"] = row_texts(table, answer.row)
    line["part_number"] = answer.part.part_number if answer.part else None
    line["ask"] = answer.ask
    line["certainty"] = round(answer.certainty, 6)
    return line


def row_texts(table: SizeTable, row: int) -> dict[str, str]:
    """{"glass": "17 1/2", ...}: exact, so what is no whole 1/64 in is written as a decimal."""
    return {
        column.code: _exact(size, table.unit)
        for column, size in zip(table.columns, table.rows[row], strict=True)
    }


def _exact(size: Length, unit: Unit) -> str:
    if unit is Unit.INCH and size % Step.SIXTY_FOURTH.value == 0:
        return format_length(size, unit)
    exact = to_decimal(size, unit)
    # The fewest places that still read back as the same size.
    shortest = next(d for d in (round(exact, p) for p in range(7)) if from_number(d, unit) == size)
    return f"{shortest:f}"


def _line(request: Mapping[str, Any], outcome: str, reason: str, text: str) -> dict[str, Any]:
    return {
        "id": request.get("id"),
        "outcome": outcome,
        "part_number": None,
        "row": None,
        "ask": None,
        "reason": reason,
        "certainty": 0.0,
        "text": text,
    }
