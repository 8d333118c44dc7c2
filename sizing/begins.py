"""A question to the database: `word__begins=text`, texts that begin so, letter for letter. `sizing.apps` makes it known."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Any

from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models import Lookup

from sizing.standing import Place


class Begins(Lookup):
    """`word__begins=text`, in the form that the index of each database serves.

    SQLite orders texts letter by letter, so all that begin so are a range. PostgreSQL orders them as a language
    does, in which no letter stands behind z: there Django has made a second index, for LIKE.
    """

    lookup_name = "begins"

    def as_sql(self, compiler: Any, connection: BaseDatabaseWrapper) -> tuple[str, list[Any]]:
        if connection.vendor == "postgresql":
            column, params = self.process_lhs(compiler, connection)
            return f"{column} LIKE %s", [*params, self._said(_pattern)]
        return self._range(compiler, connection)

    def _range(self, compiler: Any, connection: BaseDatabaseWrapper) -> tuple[str, list[Any]]:
        column, params = self.process_lhs(compiler, connection)
        return f"({column} >= %s AND {column} < %s)", [*params, self.rhs, self._said(after)]

    def _said(self, make: Callable[[str], str]) -> Any:
        if isinstance(self.rhs, Place):
            return Place(self.rhs.name, self.rhs.kind, make)
        return make(self.rhs)


class BeginsByLetter(Begins):
    """As `Begins`, as a range on either engine, for a column that PostgreSQL compares by its letters, too: it leaves
    the index for LIKE alone."""

    lookup_name = "begins_by_letter"

    def as_sql(self, compiler: Any, connection: BaseDatabaseWrapper) -> tuple[str, list[Any]]:
        return self._range(compiler, connection)


def after(word: str) -> str:
    """The first text behind all that begin with the word, letter by letter as Unicode numbers them."""
    for place in range(len(word) - 1, -1, -1):
        letter = ord(word[place]) + 1
        if letter <= sys.maxunicode:
            # The numbers between these are no letters, and no database takes them.
            return word[:place] + chr(0xE000 if 0xD800 <= letter < 0xE000 else letter)
    return word + chr(sys.maxunicode)


def _pattern(word: str) -> str:
    """All that begin so, as a pattern of LIKE."""
    for mark in "\\%_":
        word = word.replace(mark, f"\\{mark}")
    return f"{word}%"
