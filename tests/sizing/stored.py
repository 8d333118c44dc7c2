"""Small tables in the database, for tests of revisions and pages."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from django.contrib.auth.models import Group, User

from sizing import tables
from sizing.models import Revision
from sizing.table import SizeTable
from sizing.workbook import read_workbook
from tests.sizing.sheets import Sheets, workbook


def wren(spoil: Callable[[Sheets], Any] | None = None) -> SizeTable:
    """The sound table of `sheets`, changed by `spoil`."""
    return read_workbook(workbook(spoil))[0]


def dearer(sheets: Sheets) -> None:
    """The light ash part of the first size costs 34.65 instead of 31.50."""
    sheets["Parts"][1][7] = 34.65


def in_force(table: SizeTable, on: date = date(2026, 1, 5)) -> Revision:
    return tables.put_in_force(tables.store_draft(table, "a test"), on, "mara")


def person(role: str) -> User:
    user = User.objects.create_user(f"{role}-person")
    user.groups.add(Group.objects.get_or_create(name=role)[0])
    return user
