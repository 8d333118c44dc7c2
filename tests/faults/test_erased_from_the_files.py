"""Who is erased is gone from SQLite's files, too: neither what it has freed nor its log holds a word of theirs."""

import pytest

from tests.faults.fresh import ENGINE, told


@pytest.mark.skipif(
    ENGINE != "sqlite", reason="PostgreSQL's vacuum and its own log are its administrator's"
)
def test_no_word_is_left_in_the_files(fresh, tmp_path):
    """After the night's work; until then the log has the pages as they were."""
    said = told(fresh(migrated=True), "-m", "tests.faults.erased_file", VAR_DIR=str(tmp_path))
    assert sum(said["before"].values()) > 20
    assert set(said["after"].values()) == {0}, said
