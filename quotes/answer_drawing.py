"""The drawing of an answer: the measures said on the window, or along the part, to scale."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from quotes.answering import Answered
from quotes.drawing import Dimension, Drawing, draw_bar, draw_window
from sizing.lengths import Length, LengthError, parse_length
from sizing.table import Measure, SizeTable
from sizing.wording import gettext as _


def draw_answer(answered: Answered) -> Drawing:
    """The window or the part to scale, from what could be read so far."""
    return draw_measures(answered.table, _dimensions(answered), _width(answered))


def draw_as_given(answered: Answered) -> Drawing:
    """The same for a page or paper of whoever is asked for nothing more: no place is kept for what nobody
    measured, but for a pane, which the window has all the same."""
    dims = _dimensions(answered)
    given = {code for code, dim in dims.items() if dim.size is not None or dim.doubt}
    return draw_measures(answered.table, dims, _width(answered), given)


def _dimensions(answered: Answered) -> dict[str, Dimension]:
    lengths = (m for m in answered.table.measures if m.kind == "length")
    return {m.code: _dimension(answered, m) for m in lengths}


def _dimension(answered: Answered, measure: Measure) -> Dimension:
    said, answer, table = answered.said, answered.answer, answered.table
    size = answered.opening.lengths.get(measure.code)
    likely, doubt = None, ""
    if answer and answer.row is not None:
        likely = table.rows[answer.row][table.column_index(measure.column)]
    # A size off the table is a window like another: nothing about it is in doubt.
    doubtful = answer.readings if answer and answer.reason != "off_table" else ()
    for reading in doubtful:
        if reading.measure == measure.code and reading.verdict in ("slip", "misfit"):
            doubt = _("slip") if reading.verdict == "slip" else _("check")
            likely = likely or (Length(reading.row_value) if reading.row_value else None)
    asks = answer is not None and answer.outcome == "ask" and not answered.nothing_said
    if asks and answer.ask == measure.code:
        doubt = _("ask this")
    elif measure.code in answered.problems:
        doubt = _("not read")
    elif measure.code in said.cannot:
        doubt = _("can't be measured")
    words = said.measures.get(measure.code, "")
    return Dimension(measure.label, words, size, likely, doubt)


def _width(answered: Answered) -> Length | None:
    try:
        return parse_length(answered.said.sash.get("glass_width", ""), answered.table.unit)
    except LengthError:
        return None


def draw_measures(
    table: SizeTable,
    dims: Mapping[str, Dimension],
    width: Length | None = None,
    shown: Collection[str] | None = None,
) -> Drawing:
    """A family's measures on the window they are taken at, or along the part where it has no sashes.

    `shown` are the measures beside the panes that are drawn, by code; None: all.
    """
    lengths = [m for m in table.measures if m.kind == "length"]
    sashes = {m.sash: dims[m.code] for m in lengths if m.sash}
    rest = [dims[m.code] for m in lengths if not m.sash and (shown is None or m.code in shown)]
    if "upper" in sashes and "lower" in sashes:
        return draw_window(sashes["upper"], sashes["lower"], rest, width)
    return draw_bar([*sashes.values(), *rest])
