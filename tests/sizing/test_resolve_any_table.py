"""Any table that can be read answers any numbers: a sentence, never a failure."""

from math import isfinite

from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.lengths import Length
from sizing.resolver import Opening, compile_table, resolve
from tests.sizing.drawn_tables import tables

LENGTHS = st.integers(1, 6_400_000).map(Length)


@settings(max_examples=60, deadline=None)
@given(tables(), st.data())
def test_any_table_answers(table, data):
    codes = [measure.code for measure in table.measures if measure.kind == "length"]
    said = {code: data.draw(st.none() | LENGTHS) for code in codes}
    opening = Opening({code: length for code, length in said.items() if length is not None})
    (answer,) = resolve(compile_table(table), [opening])
    assert answer.text and isfinite(answer.certainty)
    assert all(reading.words for reading in answer.readings)


@settings(max_examples=40, deadline=None)
@given(tables(), LENGTHS, LENGTHS, LENGTHS)
def test_two_unequal_sashes_and_what_is_beside_them(table, upper, lower, beside):
    """With both sashes known and every other measure given, whatever the table's rows are like."""
    sashes = {"upper": upper, "lower": lower}
    said = {m.code: sashes.get(m.sash, beside) for m in table.measures if m.kind == "length"}
    (answer,) = resolve(compile_table(table), [Opening(said)])
    assert answer.text and len(answer.readings) == len(said)
