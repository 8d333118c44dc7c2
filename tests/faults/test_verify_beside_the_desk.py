"""`manage.py verify` reads all of one moment: what is written meanwhile is no finding, and waits for nothing."""

from decimal import Decimal

from tests.faults.fresh import told
from tests.faults.verified_meanwhile import MOST


def test_nothing_found_of_what_is_written_meanwhile(fresh):
    """Deposits noted while it reads are stored at once, and it says nothing of them."""
    said = told(fresh(migrated=True), "-m", "tests.faults.verified_meanwhile")
    assert (said["noted"], Decimal(said["paid"])) == (MOST, MOST)
    assert said["found"] == []
