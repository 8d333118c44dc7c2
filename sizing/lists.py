"""A list on a page: found by its address, shown by the page, given out whole as CSV or as a workbook.

The address is the list: what narrows it stands in its query, `as=csv` or `as=xlsx` gives the file of the
same rows, all of them. So who may see a list may take it along, and nobody else (config/access.py).
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cached_property
from itertools import chain, islice
from typing import Any
from urllib.parse import urlencode

from django import forms
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

from sizing.columns import Column, csv_lines, write_workbook
from sizing.models import Family
from sizing.remembered import remembered

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
FORMATS = ("csv", "xlsx")
# Rows fetched at a time while a file is written.
SLICE = 500
# What an address says of the first page.
FIRST = (None, 1, "1")
# Rows a page counts, ten pages of them: the next one is seldom asked for, and counting takes longer than showing.
MOST_COUNTED = 250


@dataclass(frozen=True)
class Listing:
    """One list: `name` is its file's and its key in an address; `a_page`: rows on a page, None: all.

    `ready` makes of rows fetched together what the columns and the page read; `for_file` adds to the rows
    what only the files have.
    """

    name: str
    title: str
    columns: tuple[Column, ...]
    a_page: int | None = 25
    ready: Callable[[list[Any]], list[Any]] | None = None
    for_file: Callable[[QuerySet], QuerySet] | None = None


class Find(forms.Form):
    """What narrows a list: plain fields of the address. A field that says nothing readable narrows nothing."""

    def __init__(self, data: Mapping[str, Any]) -> None:
        super().__init__(data, auto_id="%s")
        for name, field in self.fields.items():
            field.required = False
            if name == "q":
                field.widget.attrs["accesskey"] = "f"
            if isinstance(field, forms.ChoiceField):
                # Asked of the database once, not for the check and the drawing each.
                field.choices = list(field.choices)
                field.error_messages["invalid_choice"] = "No such choice: take one of the list."
            if isinstance(field, forms.DateField):
                field.error_messages["invalid"] = "No such day: type it like 2031-04-18."

    @cached_property
    def said(self) -> dict[str, Any]:
        """{field: what it says}, "" where it says nothing."""
        self.is_valid()
        return {name: self.cleaned_data.get(name) or "" for name in self.fields}

    @property
    def narrows(self) -> bool:
        """Whether anything besides the words is asked for."""
        return any(value for name, value in self.said.items() if name != "q") or bool(
            set(self.errors) - {"q"}
        )

    @property
    def others(self) -> list[forms.BoundField]:
        return [self[name] for name in self.fields if name != "q"]

    @property
    def drawn_by(self) -> str:
        """All that the drawing of `others` depends on."""
        others = [name for name in self.fields if name != "q"]
        choices = [getattr(self.fields[name], "choices", ()) for name in others]
        return repr((type(self), self.narrows, [self.data.get(name) for name in others], choices))


def words_field(label: str) -> forms.CharField:
    box = forms.CharField(label=label, max_length=200, widget=forms.TextInput({"type": "search"}))
    box.widget.attrs.pop("maxlength", None)
    box.error_messages["max_length"] = "That is more than can be looked for: use fewer words."
    return box


def choice_field(
    label: str, choices: Iterable[tuple[Any, str]], any_of: str = "any"
) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=[("", any_of), *choices])


@remembered(Family)
def _families() -> list[tuple[str, str]]:
    return [("", "any"), *Family.objects.order_by("name").values_list("code", "name")]


def family_field() -> forms.ChoiceField:
    return forms.ChoiceField(label="Family", choices=_families)


def day_field(label: str) -> forms.DateField:
    return forms.DateField(label=label, widget=forms.DateInput({"type": "date"}, format="%Y-%m-%d"))


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


class Bounded(Paginator):
    """Counts no further than `MOST_COUNTED`: what lies behind is reached by narrowing, or as the file.

    A list that fits on its first page is read and not counted.
    """

    def first_page(self) -> Page:
        """Its rows fetched, with one more, which tells whether there is another page."""
        rows = list(self.object_list[: self.per_page + 1])
        if len(rows) <= self.per_page:
            self.count = len(rows)
        return Page(rows[: self.per_page], 1, self)

    @cached_property
    def count(self) -> int:
        if isinstance(self.object_list, QuerySet):
            return self.object_list.order_by().values("pk")[: MOST_COUNTED + 1].count()
        return len(self.object_list)

    @property
    def more(self) -> bool:
        return isinstance(self.object_list, QuerySet) and self.count > MOST_COUNTED


@dataclass
class Shown:
    """A list as a page's templates take it; its rows are read when the page shows them."""

    listing: Listing
    rows: Iterable[Any]
    number: Any
    query: str
    key: str

    @cached_property
    def page(self) -> Page:
        there: Any = self.rows if isinstance(self.rows, QuerySet | Sequence) else list(self.rows)
        a_page = self.listing.a_page or max(len(there), 1)
        pages = Bounded(there, a_page)
        page = pages.first_page() if self.number in FIRST else pages.get_page(self.number)
        if self.listing.ready:
            page.object_list = self.listing.ready(list(page.object_list))
        return page

    @property
    def columns(self) -> list[Column]:
        return [column for column in self.listing.columns if column.shown]

    @property
    def count(self) -> int:
        return self.page.paginator.count

    @property
    def counted(self) -> str:
        """How many there are, as it is read: 17, or more than 1000."""
        return f"more than {MOST_COUNTED}" if self.page.paginator.more else str(self.count)

    @property
    def csv(self) -> str:
        return self._with(**{"as": "csv"} | self._which)

    @property
    def xlsx(self) -> str:
        return self._with(**{"as": "xlsx"} | self._which)

    @property
    def before(self) -> str:
        return self._with(page=self.page.previous_page_number())

    @property
    def after(self) -> str:
        return self._with(page=self.page.next_page_number())

    @property
    def _which(self) -> dict[str, str]:
        return {"list": self.key} if self.key else {}

    def _with(self, **more: Any) -> str:
        return f"?{'&'.join(filter(None, (self.query, urlencode(more))))}"


def show(
    request: HttpRequest,
    template: str,
    find: Find | None,
    *lists: tuple[Listing, Iterable[Any]],
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


def _slices(rows: Iterable[Any]) -> Iterator[list[Any]]:
    some = iter(rows)
    return iter(lambda: list(islice(some, SLICE)), [])


def file_of(listing: Listing, rows: Iterable[Any], kind: str) -> HttpResponseBase:
    """All rows as a file whose name says the list and the day."""
    name = f"{listing.name}-{timezone.localdate():%Y-%m-%d}.{kind}"
    if isinstance(rows, QuerySet):
        rows = (listing.for_file(rows) if listing.for_file else rows).iterator(SLICE)
    if listing.ready:
        rows = chain.from_iterable(map(listing.ready, _slices(rows)))
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
