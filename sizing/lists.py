"""A list on a page: found by its address, shown by the page, given out whole as CSV or as a workbook.

The address is the list: what narrows it stands in its query, `as=csv` or `as=xlsx` gives the file of the
same rows, all of them. So who may see a list may take it along, and nobody else (config/access.py).
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from functools import cached_property
from html import escape
from itertools import chain, islice
from typing import Any

from django.core.paginator import Page, Paginator
from django.db.models import Q, QuerySet
from django.http import (
    FileResponse,
    HttpRequest,
    HttpResponseBase,
    StreamingHttpResponse,
)
from django.shortcuts import render
from django.utils import timezone
from django.utils.safestring import SafeString

from sizing.among import in_order
from sizing.columns import XLSX, Column, csv_lines, write_workbook
from sizing.find_fields import Find
from sizing.rows import Rows, rows_of
from sizing.standing import KEYS, StandingQuestion

FORMATS = ("csv", "xlsx")
# The look of a number's cell.
FIGURE = ' class="figure"'
# Rows fetched at a time while a file is written.
SLICE = 500
# Rows that a list counts, ten pages of them: the next one is seldom asked for, and counting takes longer than showing.
MOST_COUNTED = 250


@dataclass(frozen=True)
class Listing:
    """One list: `name` is its file's and its key in an address; `a_page`: rows on a page, None: all;
    `bounded`: its page is given no more than one over `MOST_COUNTED` of them.

    What is found in the database is found by its keys, and only the rows that are shown are `fetch`ed, with
    all that they show, or `for_file` with what only the files have. `ready` makes of the rows fetched together
    what the columns and the page read.
    """

    name: str
    title: str
    columns: tuple[Column, ...]
    a_page: int | None = 25
    bounded: bool = False
    fetch: QuerySet | None = None
    for_file: QuerySet | None = None
    ready: Callable[[list[Any]], list[Any]] | None = None

    def rows_of(self, keys: Sequence[Any], *, filed: bool = False) -> list[Any]:
        """The rows with these keys, in their order, without those that have gone since they were found."""
        rows = self._for_file if filed and self.for_file is not None else self._fetched
        return self.readied(in_order(keys, rows(keys=keys)))

    def newest(self, *left_out: str) -> Listing:
        """The same list as another page shows it: its first five rows, without the columns that page says itself."""
        columns = tuple(column for column in self.columns if column.words not in left_out)
        return replace(self, columns=columns, a_page=5)

    def readied(self, rows: list[Any]) -> list[Any]:
        return self.ready(rows) if self.ready else rows

    def drawn(self, rows: Iterable[Any]) -> SafeString:
        """The rows of the page's table."""
        return SafeString("".join([f"<tr>{self.cells(row)}</tr>\n" for row in rows]))

    def cells(self, row: Any) -> SafeString:
        """A row's cells, for a page that has one more of its own."""
        # Escaped cell by cell, between tags of our own.
        return SafeString(
            "".join([f"{before}{escaped(draw(row))}{after}" for before, draw, after in self._tags])
        )

    @cached_property
    def heads(self) -> SafeString:
        """The words above the page's columns."""
        heads = (
            f'<th scope="col"{FIGURE if column.figure else ""}>{escape(column.words)}</th>'
            for column in self.columns
            if column.shown
        )
        return SafeString("".join(heads))

    @cached_property
    def _fetched(self) -> StandingQuestion:
        return StandingQuestion(self.fetch.filter(pk__among=KEYS))

    @cached_property
    def _for_file(self) -> StandingQuestion:
        return StandingQuestion(self.for_file.filter(pk__among=KEYS))

    @cached_property
    def _tags(self) -> list[tuple[str, Callable[[Any], Any], str]]:
        """(tag, what stands in it, its end) of each column that the page has."""
        found = []
        for column in self.columns:
            if column.shown:
                tag = "th" if column.heads else "td"
                said = [' scope="row"'] if column.heads else []
                looks = " ".join(filter(None, ("figure" if column.figure else "", column.css)))
                if looks:
                    said.append(f' class="{looks}"')
                if column.told:
                    said.append(f' data-name="{escape(column.words)}"')
                found.append((f"<{tag}{''.join(said)}>", column.drawn or column.value, f"</{tag}>"))
        return found


def escaped(value: object) -> str:
    """As Django's `conditional_escape`, for plain values at a fifth of its time: a page asks hundreds of times."""
    if isinstance(value, SafeString):
        return value
    if value.__class__ is int:
        return str(value)
    return "" if value is None else escape(str(value))


def between(field: str, since: date | str, until: date | str, *, moments: bool = True) -> Q:
    """Rows whose `field` lies on these days, both counted; "" leaves that end open."""

    def begins(day: date) -> date | datetime:
        return timezone.make_aware(datetime.combine(day, time.min)) if moments else day

    asked = Q()
    if isinstance(since, date):
        asked &= Q(**{f"{field}__gte": begins(since)})
    if isinstance(until, date):
        asked &= Q(**{f"{field}__lt": begins(until + timedelta(days=1))})
    return asked


def moment(at: datetime | None) -> datetime | None:
    """A stored moment as a file says it: the shop's local time, to the minute."""
    return at and timezone.localtime(at).replace(tzinfo=None, second=0, microsecond=0)


@dataclass
class Shown:
    """A list as a page's templates take it; its rows are read when the page shows them."""

    listing: Listing
    rows: Iterable[Any] | Rows
    number: Any = 1
    query: str = ""
    key: str = ""

    @cached_property
    def page(self) -> Page:
        if self.listing.fetch is None:
            there = list(self.rows)
            a_page = self.listing.a_page or max(len(there), 1)
            page = Paginator(there, a_page).get_page(self.number)
            page.object_list = self.listing.readied(page.object_list)
            return page
        page = Paginator(self.keys, self.listing.a_page).get_page(self.number)
        page.object_list = self.listing.rows_of(page.object_list)
        return page

    @cached_property
    def keys(self) -> list[Any]:
        """Of what is found, counted no further than `MOST_COUNTED`, and one more that tells of the rest.

        What lies behind is reached by narrowing, or as the file.
        """
        return _as_rows(self.rows).first(MOST_COUNTED + 1)

    @property
    def more(self) -> bool:
        if self.listing.fetch is None:
            return self.listing.bounded and self.count > MOST_COUNTED
        return len(self.keys) > MOST_COUNTED

    @property
    def drawn(self) -> SafeString:
        return self.listing.drawn(self.page)

    @property
    def lines(self) -> list[tuple[Any, SafeString]]:
        """Each row of the page with its cells."""
        return [(row, self.listing.cells(row)) for row in self.page]

    @property
    def count(self) -> int:
        return self.page.paginator.count

    @property
    def counted(self) -> str:
        """How many there are, as it is read: 17, or more than 250."""
        return f"more than {MOST_COUNTED}" if self.more else str(self.count)

    @property
    def csv(self) -> str:
        return self._with("as=csv", *self._which)

    @property
    def xlsx(self) -> str:
        return self._with("as=xlsx", *self._which)

    @property
    def before(self) -> str:
        return self._with(f"page={self.page.previous_page_number()}")

    @property
    def after(self) -> str:
        return self._with(f"page={self.page.next_page_number()}")

    @property
    def _which(self) -> list[str]:
        return [f"list={self.key}"] if self.key else []

    def _with(self, *more: str) -> str:
        return f"?{'&'.join(filter(None, (self.query, *more)))}"


def show(
    request: HttpRequest,
    template: str,
    find: Find | None,
    *lists: tuple[Listing, Iterable[Any] | Rows],
    status: int = 200,
    **context: Any,
) -> HttpResponseBase:
    """The page with its lists (`lists.NAME` and `find` in the template), or the file that is asked for.

    What the address asks for and nobody can read is told on the page, with 422, file or not.
    """
    readable = find is None or find.is_valid()
    if readable and request.GET.get("as") in FORMATS:
        wanted = request.GET.get("list", lists[0][0].name)
        for listing, rows in lists:
            if listing.name == wanted:
                return file_of(listing, rows, request.GET["as"])
    query = request.GET.copy()
    for name in ("page", "as", "list"):
        query.pop(name, None)
    shown = {
        listing.name.replace("-", "_"): Shown(
            listing,
            rows,
            request.GET.get("page") if place == 0 else 1,
            query.urlencode(),
            listing.name if len(lists) > 1 else "",
        )
        for place, (listing, rows) in enumerate(lists)
    }
    context |= {"find": find, "lists": shown}
    return render(request, template, context, status=status if readable else 422)


def _as_rows(found: Rows | QuerySet) -> Rows:
    return found if isinstance(found, Rows) else rows_of(found)


def slices(rows: Iterable[Any]) -> Iterator[list[Any]]:
    """The rows, so many at a time as are fetched at a time."""
    some = iter(rows)
    return iter(lambda: list(islice(some, SLICE)), [])


def file_of(listing: Listing, rows: Iterable[Any] | Rows, kind: str) -> HttpResponseBase:
    """All rows as a file whose name says the list and the day."""
    name = f"{listing.name}-{timezone.localdate():%Y-%m-%d}.{kind}"
    if listing.fetch is None:
        ready = map(listing.readied, slices(rows))
    else:
        keys = _as_rows(rows).every().values_list("pk", flat=True).iterator(SLICE)
        ready = (listing.rows_of(some, filed=True) for some in slices(keys))
    rows = chain.from_iterable(ready)
    if kind == "csv":
        response = StreamingHttpResponse(
            csv_lines(listing.columns, rows), content_type="text/csv; charset=utf-8"
        )
        response["Content-Disposition"] = f'attachment; filename="{name}"'
        return response
    # Closed, and with it deleted, by the response that sends it.
    file = tempfile.TemporaryFile()  # noqa: SIM115
    write_workbook(file, listing.title, listing.columns, rows)
    file.seek(0)
    return FileResponse(file, as_attachment=True, filename=name, content_type=XLSX)
