"""A fresh database of the run's engine for each test that asks, gone afterwards."""

from contextlib import ExitStack

import pytest

from tests.faults.fresh import fresh_database


@pytest.fixture
def fresh(tmp_path):
    """A function: a name, the address of a new database, empty or `migrated`."""
    with ExitStack() as stack:
        yield lambda name="desk", **how: stack.enter_context(fresh_database(tmp_path, name, **how))
