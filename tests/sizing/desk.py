"""The demo families ready for the resolver, and one call that answers an opening as typed."""

from functools import cache

from fixtures.build import balance, liner, strip
from sizing.resolver import Answer, CompiledTable, compile_table, read_opening, resolve


@cache
def family(name: str) -> CompiledTable:
    return compile_table({"liner": liner, "balance": balance, "strip": strip}[name]())


def ask_desk(
    name: str = "liner", finish: str | None = None, sash: dict | None = None, **measures: object
) -> Answer:
    compiled = family(name)
    opening = read_opening(compiled.table, measures, finish=finish, sash=sash)
    return resolve(compiled, [opening])[0]
