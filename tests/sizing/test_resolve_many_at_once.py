"""Openings answered together are answered as each alone, whatever their order."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.lengths import PER_INCH
from sizing.resolver import Arrays, Opening, resolve, resolve_arrays
from tests.sizing.desk import family

CODES = ("upper_glass", "lower_glass", "opening", "long_point")
sixteenths = st.integers(8 * 16, 110 * 16).map(lambda n: n * PER_INCH // 16)
openings = st.lists(
    st.dictionaries(st.sampled_from(CODES), sixteenths).map(lambda m: Opening(lengths=m)),
    min_size=1,
    max_size=12,
)


@given(openings)
@settings(max_examples=40, deadline=None)
def test_together_as_alone(batch):
    """A batch gives each opening the answer it gets alone."""
    compiled = family("liner")
    together = resolve(compiled, batch)
    alone = [resolve(compiled, [opening])[0] for opening in batch]
    assert [(a.outcome, a.ask, a.row) for a in together] == [
        (a.outcome, a.ask, a.row) for a in alone
    ]


@given(st.dictionaries(st.sampled_from(CODES), sixteenths))
@settings(max_examples=60, deadline=None)
def test_shares_are_probabilities(measures):
    """On the table, unequal and off the table always sum to one, and no number is outside 0 to 1."""
    answer = resolve(family("liner"), [Opening(lengths=measures)])[0]
    assert abs(sum(answer.shares) - 1) < 1e-6
    assert 0 <= answer.certainty <= 1


def test_order_of_the_measures_does_not_matter():
    """The same numbers said in another order are the same opening."""
    said = {"opening": 54 * PER_INCH, "upper_glass": 23 * PER_INCH, "long_point": 55 * PER_INCH}
    turned = dict(reversed(said.items()))
    one, two = resolve(family("liner"), [Opening(lengths=said), Opening(lengths=turned)])
    assert (one.outcome, one.certainty, one.ask) == (two.outcome, two.certainty, two.ask)


def test_swapped_sashes_swap_nothing_but_the_name():
    """Upper and lower glass exchanged: the same outcome and certainty, the mirrored split."""
    compiled = family("liner")
    a = {"upper_glass": 19 * PER_INCH, "lower_glass": 28 * PER_INCH, "opening": 54 * PER_INCH}
    b = {**a, "upper_glass": a["lower_glass"], "lower_glass": a["upper_glass"]}
    one, two = resolve(compiled, [Opening(lengths=a), Opening(lengths=b)])
    assert one.outcome == two.outcome
    assert abs(one.certainty - two.certainty) < 1e-6
    assert {one.split.kind, two.split.kind} == {"cottage", "oriel"}


def test_arrays_of_nothing():
    """An empty batch is no error."""
    found = resolve_arrays(family("liner"), Arrays.of_lengths(np.empty((0, 4), dtype=np.int64)))
    assert len(found.part) == 0
