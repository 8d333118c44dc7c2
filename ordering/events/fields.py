"""What the fields of a notice are filled with: in the customer's language, or for a factory in English."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from django.conf import settings
from django.utils import timezone

from ordering.described import described
from ordering.models import Event, FactoryOrder, Notice, Order, OrderLine, ToldWindow
from ordering.notices import Kind, filled, usual
from ordering.sentences import counted, day, it, listed, pieces, span, window_in_words
from ordering.states import Act, LineState, OrderState, Step, Window
from quotes.documents.lettering import clean
from quotes.letters.addressed import addressee
from quotes.lists.shop import the_shop
from quotes.lists.specials import as_answered
from quotes.post import LINK
from sizing.wording import gettext as _
from sizing.wording import ngettext


def customer_values(
    kind: Kind, event: Event, order: Order, lines: Mapping[int, OrderLine], state: OrderState
) -> dict[str, str]:
    """Of a notice that an event causes, in the language being spoken."""
    about = about_lines(event, lines)
    if kind in (Kind.LEFT, Kind.READY):
        window = _still_to_come(state, lines)
    else:
        before = _told_before(event, lines, about) if kind is Kind.MOVED else ""
        window = f"{windows_in_words({n: state.lines[n] for n in about})}\n{before}".strip()
    return {
        "customer": addressee(order.customer.name),
        "order": order.known_as,
        "lines": "\n".join(
            f"{_mark(n, lines)} {_line(lines[n], event.pieces.get(str(n)))}{_the_rest(event, lines[n])}"
            for n in about
        ),
        "window": window,
        "reason": f"{_reason(event)}\n\n{_in_place_of(event, order, lines)}".strip(),
        "in_part": _("in part") if _more_to_come(kind, state) else "",
        "how": _how_it_goes(order, any(state.lines[n].held for n in about)),
        "mail": _set_right(event),
        "link": LINK,
        "shop": "\n".join(the_shop().lines),
    }


def refused_values(
    event: Event, order: Order, lines: Mapping[int, OrderLine], state: OrderState, said: str
) -> dict[str, str]:
    """Of the notice that what an event names can't be made, as far as that is still so; `said` by the desk. What
    the factory has written of it is for the desk."""
    about = {n: state.lines[n] for n in about_lines(event, lines) if state.lines[n].is_refused}
    return {
        "customer": addressee(order.customer.name),
        "order": order.known_as,
        "lines": "\n".join(
            f"{_mark(n, lines)} {_line(lines[n], one.going - one.left)}" for n, one in about.items()
        ),
        "window": _told_before(event, lines, about),
        "reason": said,
        "link": LINK,
        "shop": "\n".join(the_shop().lines),
    }


def about_lines(event: Event, lines: Mapping[int, OrderLine]) -> list[int]:
    """The lines that an event tells of: those it names, the new one of a remake, else all."""
    if event.act == Act.REMADE:
        return [event.data["line"]]
    return [int(n) for n in event.pieces if int(n) in lines] or sorted(lines)


def _told_before(event: Event, lines: Mapping[int, OrderLine], about: Iterable[int]) -> str:
    """What the customer had been told of these lines until now: nobody has to look for the letter before."""
    today = timezone.localdate()
    rows = ToldWindow.objects.filter(line__in=[lines[n].pk for n in about]).exclude(event=event)
    told = {
        number: span(first, last, today)
        for number, first, last in rows.order_by("pk").values_list(
            "line__number", "earliest", "latest"
        )
    }
    if not told:
        return ""
    if len(set(told.values())) == 1:
        when = next(iter(told.values()))
    else:
        each = _("line {number} {when}")
        when = "; ".join(each.format(number=n, when=told[n]) for n in sorted(told))
    return _("Until now we had told you: {when}.").format(when=when)


def _still_to_come(state: OrderState, lines: Mapping[int, OrderLine]) -> str:
    """What has not left its factory yet, how many of it, and when it is expected to: who gets a part asks for
    the rest next."""
    waits = {n: one for n, one in state.lines.items() if one.has_a_day}
    rest = windows_in_words(waits)
    if not rest:
        return ""
    rows = [
        f"{_mark(n, lines)} {_line(lines[n], waits[n].going - waits[n].left)}"
        for n in sorted(waits)
    ]
    return "\n".join([_("What is still to come:"), *rows, rest])


def _mark(number: int, lines: Mapping[int, OrderLine]) -> str:
    """What a line is listed by: its number where there are several, as by it the sentences speak of it."""
    return f"{number}." if len(lines) > 1 else "-"


def _more_to_come(kind: Kind, state: OrderState) -> bool:
    """Whether other pieces of the order have still to do what these have done: leave, or reach our dock."""
    if kind is Kind.LEFT:
        return any(line.awaits_factory for line in state.lines.values())
    return any(line.awaits_factory or line.to_arrive for line in state.lines.values())


def _reason(event: Event) -> str:
    # By itself the desk writes a sentence; what a person has typed may be two words.
    typed = event.why and event.act not in (Act.LATE, Act.WINDOW)
    why = _("Why: {reason}").format(reason=event.why) if typed else event.why
    if event.data.get("no_return"):
        words = _(
            "It is made to order and was being made: it can be neither returned nor paid back."
        )
        return f"{why}\n\n{words}"
    return why


def _in_place_of(event: Event, order: Order, lines: Mapping[int, OrderLine]) -> str:
    """What a remake takes the place of, of what the customer was told is ready or on its way: nobody is to
    come for it."""
    if event.act != Act.REMADE:
        return ""
    ready = _(
        "This takes the place of {count} of line {number}, which we had called ready; that stays with us."
    )
    if order.is_picked_up:
        ready = _(
            "This takes the place of {count} of line {number}, which we had called ready: please do not come for that."
        )
    on_its_way = _(
        "This takes the place of {count} of line {number} on the way to us; that will not come."
    )
    number, said = event.data["of"], {"broken": ready, "lost": on_its_way}
    return "\n".join(
        words.format(count=counted(event.data[what], lines[number].sold_as), number=number)
        for what, words in said.items()
        if event.data.get(what)
    )


def _set_right(event: Event) -> str:
    """The subject of the message about the event that this one takes back; nothing if it takes none back."""
    if event.act != Act.TAKEN_BACK:
        return ""
    told = Notice.objects.filter(
        event__order=event.order_id, event__number=event.data["event"], factory_order=None
    )
    return told.values_list("subject", flat=True).first() or ""


def _the_rest(event: Event, line: OrderLine) -> str:
    """What is not cancelled of a line of which the event cancels something."""
    if event.act != Act.CANCELLED or not line.going:
        return ""
    words = ngettext(
        "(the other one stays as ordered)", "(the other {count} stay as ordered)", line.going
    )
    return f" {words.format(count=line.going)}"


def windows_in_words(lines: Mapping[int, LineState]) -> str:
    """One sentence when all lines share a window, else one for each window and for each line on hold."""
    today = timezone.localdate()
    alike: dict[tuple, list[int]] = {}
    for number, line in lines.items():
        # Days that are over tell nothing of what is still to come.
        if line.told and line.has_a_day and line.told.latest >= today:
            days = line.told.still_to_come(today).days
            alike.setdefault((days, line.promised_on), []).append(number)
    said = []
    for (days, promised), numbers in alike.items():
        if len(numbers) == len(lines):
            words = ngettext("It {clause}.", "They {clause}.", len(lines))
        else:
            words = ngettext("Line {lines} {clause}.", "Lines {lines} {clause}.", len(numbers))
        clause = window_in_words(Window(*days), today, len(numbers))
        words = words.format(lines=listed(map(str, numbers)), clause=clause)
        if promised:
            says = _("The factory says {day}.")
            if promised < today:
                says = _("The factory had said {day}.")
            words += " " + says.format(day=day(promised, today))
        said.append(words)
    held = [n for n, line in lines.items() if line.is_expected and line.held]
    return "\n".join([*said, *(_on_hold(n, len(lines)) for n in held)])


def _on_hold(number: int, of: int) -> str:
    if of == 1:
        return it(_("is on hold"))
    words = ngettext("Line {lines} {clause}.", "Lines {lines} {clause}.", 1)
    return words.format(lines=number, clause=_("is on hold"))


def _how_it_goes(order: Order, held: bool) -> str:
    if held:
        return _("It is on hold for now: please ask us before you plan with it.")
    if order.is_picked_up:
        return _("You can pick it up at our counter.")
    return _("It goes to: {address}").format(address=", ".join(order.ship_to))


def factory_values(order: FactoryOrder, lines: Iterable[str]) -> dict[str, str]:
    """Of a notice about a factory order; `lines` say what it is about."""
    return {
        "factory": clean(order.factory.contact or order.factory.name),
        "factory_order": order.number,
        "lines": "\n".join(lines),
        "note": order.note,
        "link": LINK,
        "shop": "\n".join(the_shop().lines),
    }


def sent_lines(
    event: Event, lines: Mapping[int, OrderLine], counts: Mapping[str, int]
) -> dict[FactoryOrder, list[str]]:
    """Those of the lines that went to a factory, in words, by factory order."""
    found: dict[FactoryOrder, list[str]] = {}
    for number, line in sorted(lines.items()):
        if line.factory_order and str(number) in counts:
            words = _to_make(line, counts[str(number)]) + _the_rest(event, line)
            found.setdefault(line.factory_order, []).append(words)
    return found


def wanted_lines(order: FactoryOrder) -> list[str]:
    """What is still wanted of a factory order, in words, specials as the customer accepted them."""
    lines = order.lines.exclude(step=Step.CANCELLED).select_related(
        "part", "order", "quote_line__issue"
    )
    return [
        "; ".join(filter(None, [_to_make(line), as_answered(line.quote_line)]))
        for line in lines.order_by("order", "number")
    ]


def _to_make(line: OrderLine, count: int | None = None) -> str:
    return f"- {_line(line, count)} ({line})"


def _line(line: OrderLine, count: int | None = None) -> str:
    words = described(line)
    name = f"{line.part_number}, {words}" if line.part else words
    return pieces(count or line.going, line.sold_as, clean(name))


def sample_values() -> dict[str, str]:
    """What the preview of a text is filled with."""
    today = timezone.localdate()
    return {
        "customer": "Mara Quill",
        "order": "C-00042",
        "lines": "\n".join(
            f"- {words}"
            for words in (
                pieces(2, "pair", "OL-2025-MS, jamb liner, medium, slate"),
                pieces(1, "piece", "WS-0900-A, strip"),
            )
        ),
        "window": ngettext("It {clause}.", "They {clause}.", 2).format(
            clause=window_in_words(Window(today, today, today), count=2)
        ),
        "reason": "The mill had no slate this week.",
        "how": _("You can pick it up at our counter."),
        "mail": filled(usual(Kind.LEFT), {"order": "C-00042"}).subject,
        "link": f"{settings.SITE_URL}/o/…",
        "shop": "\n".join(the_shop().lines),
        "factory": "Jo Marsh",
        "factory_order": "F-00007",
        "note": "Please pack each pair by itself.",
    }
