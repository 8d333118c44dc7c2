"""Who opens the size-table pages."""

import pytest

from tests.sizing.stored import person


@pytest.fixture
def manager(client):
    client.force_login(person("manager"))
    return client


@pytest.fixture
def counter(client):
    client.force_login(person("counter"))
    return client
