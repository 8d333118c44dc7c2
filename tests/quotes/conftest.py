"""Tables of the demo in force, and a clerk who is signed in."""

from functools import cache
from pathlib import Path

import pytest
from django.contrib.auth.models import Group, User
from django.test import Client
from django.utils import timezone

from sizing.models import Revision
from sizing.table import SizeTable
from sizing.tables import import_workbook
from sizing.workbook import read_workbook

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"


@cache
def _read(name: str) -> tuple[SizeTable, tuple[str, ...]]:
    """Reading the file takes three times as long as storing what it says; no table can be changed."""
    table, warnings = read_workbook(FIXTURES / f"{name}.xlsx")
    return table, tuple(warnings)


def publish(name: str) -> Revision:
    table, warnings = _read(name)
    return import_workbook(table, f"{name}.xlsx", [*warnings], timezone.localdate(), "test")


def clerk_named(name: str, **more: str) -> User:
    """Somebody who works at the counter."""
    user = User.objects.create_user(name, **more)
    user.groups.add(Group.objects.get_or_create(name="counter")[0])
    return user


@pytest.fixture
def liner(db) -> Revision:
    """The jamb liner's table."""
    return publish("otter-liner")


@pytest.fixture
def balance(db) -> Revision:
    """The channel balance's table, in millimetres."""
    return publish("heron-balance")


@pytest.fixture
def clerk(db) -> Client:
    client = Client()
    client.force_login(clerk_named("mira"))
    return client
