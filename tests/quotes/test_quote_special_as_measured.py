"""What a special is made to is shown to the customer as measured, not as a fault of the table."""

import pytest

from quotes.lists.issues import document_of
from tests.quotes import shop

pytestmark = pytest.mark.django_db


def test_off_the_table_reads_as_measured():
    """A window larger than every row is ticked as right, so no measure of it says that it does not fit."""
    shop.set_up()
    tall = shop.opening(
        "Mill", upper_glass="52", lower_glass="52", opening="111 1/2", sash_weight="9"
    )
    (sheet,) = document_of(shop.draft_quote(tall)).openings
    lengths = [measure for measure in sheet.measures if measure.label != "Sash weight"]
    assert [(m.fit, m.doubtful) for m in lengths] == [("as measured", False)] * 3


def test_a_part_keeps_what_is_doubtful():
    """A usual slip stays marked where a row is sold, so that the customer looks twice."""
    shop.set_up()
    slip = shop.opening(
        "Bath", upper_glass="19 1/4", lower_glass="19 1/4", opening="47 7/8",
        long_point="48 5/8", sash_weight="9",
    )  # fmt: skip
    (sheet,) = document_of(shop.draft_quote(slip)).openings
    assert any(measure.doubtful for measure in sheet.measures)
