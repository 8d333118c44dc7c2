"""What an opening, a special, a part and a line are called on papers and pages, in the reader's language."""

from __future__ import annotations

from quotes.models import Opening, QuoteLine
from sizing import lookup
from sizing.models import Part
from sizing.resolver.explain import row_in_words
from sizing.table import said_in
from sizing.wording import gettext as _
from sizing.wording import language, speaking


def name_of(opening: Opening) -> str:
    """What lines and ticks call an opening: its place, and its label if it has one."""
    place = _("Opening {place}").format(place=opening.position + 1)
    return f"{place}, {opening.label}" if opening.label else place


def describe(line: QuoteLine) -> str:
    """A line's own words, or its part's; what the desk wrote of a special by itself is in the reader's language."""
    if line.kind == QuoteLine.Kind.SPECIAL:
        return _special(line)
    if line.description or line.part is None:
        return line.description
    return describe_part(line.part)


def _special(line: QuoteLine) -> str:
    opening = next(iter(line.openings.all()), None)
    if opening is None or language() == "en":
        return line.description
    with speaking("en"):
        by_itself = line.description == special_words(opening)
    return special_words(opening) if by_itself else line.description


def special_words(opening: Opening) -> str:
    """What a special is, as long as nobody has put it in words."""
    table = lookup.table_of(opening.revision)
    made_to = _("{family}, special, made to the measures of opening {place}").format(
        family=table.name, place=opening.position + 1
    )
    return ", ".join(filter(None, (made_to, said_in(language(), table, opening.finish))))


def describe_part(part: Part) -> str:
    """A part's table, size, weight class and finish."""
    table = lookup.table_of(part.revision)
    row = next(p.row for p in table.parts if p.part_number == part.part_number)
    kinds = (said_in(language(), table, kind) for kind in (part.weight_class, part.finish))
    return ", ".join(filter(None, (table.name, row_in_words(table, row), *kinds)))
