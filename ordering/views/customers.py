"""The customer's own page of an order, by its link, and its calendar file."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from ordering import events
from ordering.documents.calendar import Entry, calendar_file
from ordering.links import find, page_of
from ordering.lists.money import owed
from ordering.lists.orders import history, line_views
from ordering.models import Order
from ordering.notices import FOR_CUSTOMERS
from ordering.replay import windows_told
from ordering.states import Act, LineState, NotAllowed, Window
from quotes.documents.content import from_plain
from quotes.views.issued import paper
from quotes.views.languages import marked, visitors_language
from sizing.wording import gettext as _
from sizing.wording import known, speaking

# What a customer reads of the history; the rest is the shop's own.
SHOWN = frozenset({
    Act.PLACED, Act.SENT, Act.PROMISED, Act.MOVED, Act.WINDOW, Act.LATE, Act.LEFT, Act.ARRIVED,
    Act.HANDED, Act.REFUSED, Act.CANCELLED, Act.REMADE, Act.DEPOSIT, Act.REPAID,
})  # fmt: skip


View = Callable[..., HttpResponse]


def _by_link(view: View) -> View:
    """A view of the order that the link's token opens, in its customer's language."""

    @login_not_required
    @never_cache
    @wraps(view)
    def opened(request: HttpRequest, token: str) -> HttpResponse:
        order = find(Order, token)
        language = known(order.customer.language) if order else visitors_language(request)
        with speaking(language):
            if order is None:
                response = render(request, "quotes/public_gone.html", status=404)
            else:
                response = view(request, token, order)
        return marked(response, language)

    return opened


@_by_link
def public(request: HttpRequest, token: str, order: Order) -> HttpResponse:
    """How the order stands, when it should leave, which notices to get."""
    if request.method == "POST":
        try:
            events.choose_notices(order.pk, set(request.POST.getlist("kind")))
        except NotAllowed:
            # Who was erased has no page; the sentence is the desk's.
            return render(request, "quotes/public_gone.html", status=404)
        messages.success(request, _("Your choice is kept."))
        return redirect(request.path)
    lines = line_views(order, told=True)
    said = [told for told in history(order) if told.event.act in SHOWN and not told.taken_back]
    context = {
        "order": order,
        "lines": lines,
        "owed": owed(order, lines),
        "history": said,
        "kinds": [
            (kind.value, _(kind.words), kind not in order.unwanted) for kind in FOR_CUSTOMERS
        ],
        "windows": _windows(order),
        "today": timezone.localdate(),
        "token": token,
    }
    return render(request, "ordering/customer.html", context)


def _windows(order: Order) -> dict[int, str]:
    """{key of a line: which windows it is for}, as the customer accepted it."""
    if order.acceptance is None:
        return {}
    issue = order.acceptance.issue
    keys = issue.lines.order_by("position", "id").values_list("pk", flat=True)
    rows = from_plain(issue.document).lines
    named = {key: row.for_words for key, row in zip(keys, rows, strict=True)}
    # What is made again comes after what it is made for.
    found: dict[int, str] = {}
    for line in order.lines.all():
        found[line.pk] = found.get(line.remake_of_id, named.get(line.quote_line_id, ""))
    return found


@_by_link
@require_safe
def quote(request: HttpRequest, token: str, order: Order) -> HttpResponse:
    """The paper of what was accepted, as it was accepted: it outlives the quote's own link."""
    if order.acceptance is None:
        return render(request, "quotes/public_gone.html", status=404)
    return paper(order.acceptance.issue, "pdf")


@_by_link
@require_safe
def calendar(request: HttpRequest, token: str, order: Order) -> HttpResponse:
    """The iCalendar file; a calendar that has subscribed to it reads it again by itself."""
    events = list(order.events.all())
    log = {event.number: event.at for event in events}
    told = windows_told(event.as_happened() for event in events)
    link = page_of(order)
    entries = [
        Entry(
            uid=f"{order.token_hash[:24]}-{view.line.number}@orders",
            name=f"{order.number}, {view.counted}",
            window=_days(view.state, told[view.line.number]),
            # Grows with all that happens to the line: a calendar ignores what is not newer.
            sequence=view.state.version,
            stamp=log[view.state.version],
            link=link,
            words=view.stands_alone,
            # So a calendar takes out what has no day, as its factory can't make it or it is on hold.
            cancelled=view.state.awaits_factory != view.state.has_a_day or not view.state.going,
        )
        for view in line_views(order, told=True)
        if view.line.number in told
    ]
    response = HttpResponse(
        calendar_file(_("Order {number}").format(number=order.number), entries),
        content_type="text/calendar; charset=utf-8",
    )
    response["Content-Disposition"] = f'inline; filename="order-{order.number}.ics"'
    return response


def _days(line: LineState, told: Window) -> Window:
    """The window told; of what has left, the day."""
    return Window(line.left_on, line.left_on, line.left_on) if line.left_on else told
