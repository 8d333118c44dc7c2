"""One shop for a whole test file, with something at every address."""

import pytest

from tests.access import shop


@pytest.fixture(scope="module")
def builder():
    """(people by role, arguments of each address)."""
    return lambda: (shop.people(), shop.arguments())
