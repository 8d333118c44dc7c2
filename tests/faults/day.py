"""What the harness's people do all day, one press after the other, as long as there are quotes."""

import uuid
from collections.abc import Iterator, Mapping
from datetime import timedelta

from tests.faults.people import PASSWORD, Person, Step

MEASURES = ("20 1/4", "22", "18 1/2")
BY_HAND = "by hand"


def accepted_quotes(count: int) -> list[int]:
    """So many accepted quotes of two lines each; their keys."""
    from quotes.desk.accepting import accept
    from quotes.models import Customer, Issue, Quote, QuoteLine
    from tests.ordering import placed
    from tests.quotes.shop import cottage_opening, part_opening

    placed.load_shop()
    first = placed.accepted_quote(part_opening(quantity=3), cottage_opening())
    issue = first.acceptance.issue
    names = [sheet["name"] for sheet in issue.document["openings"]]
    customer = Customer.objects.get(pk=first.customer_id)
    keys = [first.pk]
    for _ in range(count - 1):
        quote = Quote.objects.create(customer=customer, currency="USD", taken_by="ann")
        copy = Issue.objects.create(
            quote=quote, number=1, issued_at=issue.issued_at, valid_until=issue.valid_until,
            document=issue.document, pickup=True,
        )  # fmt: skip
        _link(copy)
        for line in issue.lines.all():
            made = QuoteLine.objects.create(
                issue=copy, position=line.position, kind=line.kind, part=line.part,
                description=line.description, quantity=line.quantity, sold_as=line.sold_as,
                unit_price=line.unit_price,
            )  # fmt: skip
            made.openings.add(line.openings.first())
        accept(copy.pk, name="Mara Quill", ticked=names)
        keys.append(quote.pk)
    return keys


def _link(issue) -> None:
    from django.utils import timezone

    from quotes.links import hash_of, new_nonce, token_of
    from quotes.models import Link

    nonce = new_nonce()
    Link.objects.create(
        issue=issue, nonce=nonce, token_hash=hash_of(token_of(nonce)),
        expires_at=timezone.now() + timedelta(days=400),
    )  # fmt: skip


def clerks() -> list[str]:
    """Two who take orders, with a password."""
    from tests.ordering.placed import user

    for name in ("ann", "joe"):
        somebody = user(name)
        somebody.set_password(PASSWORD)
        somebody.save()
    return ["ann", "joe"]


def new_request(clerk: Person, number: int, note: str = "") -> Step:
    """A counter page of one or two windows, with the page's own number."""
    from quotes.models import Request

    page, caller = str(uuid.UUID(int=number, version=4)), f"Caller {number}"
    windows = 1 + number % 2
    form = [("page", page), ("version", "0"), ("caller", caller), ("note", note), ("do", "save")]
    for at in range(windows):
        form += [
            ("openings", at), (f"o{at}-family", "otter-liner"), (f"o{at}-quantity", 1),
            (f"o{at}-m-upper_glass", MEASURES[number % 3]),
        ]  # fmt: skip
    return Step(
        ("request", page), clerk, "/counter/", lambda: form, Request.objects.filter(page=page).exists,
        (caller, MEASURES[number % 3]),
    )  # fmt: skip


def said_of_form(form: list[tuple[str, object]]) -> tuple:
    """The caller, the note and each window's measure that a form says."""
    fields = dict(form)
    measures = tuple(words for name, words in form if name.endswith("m-upper_glass"))
    return fields["caller"], fields["note"], measures


def by_hand(clerk: Person, number: int) -> Step:
    """An order without a quote: a part by its number and something from the shop's own shelf."""
    from ordering.models import Order
    from quotes.models import Customer
    from sizing.models import Part

    page, note = str(uuid.UUID(int=number, version=4)), f"By hand {number}"
    part = Part.objects.exclude(part_number="").earliest("pk").part_number
    form = [
        ("customer", Customer.objects.earliest("pk").pk), ("page", page), ("note", note),
        ("part-0", part), ("count-0", 2), ("words-1", "Box of screws"), ("count-1", 3), ("price-1", "4.50"),
    ]  # fmt: skip
    return Step(
        (BY_HAND, page), clerk, "/orders/new/", lambda: form, Order.objects.filter(page=page).exists,
        (note, part, "Box of screws"), says({1: 2, 2: 3}, note),
    )  # fmt: skip


def steps(quotes: list[int], clerk: Person, factory: Person) -> Iterator[Step]:
    """Each quote goes from placed to shipped and made again, which is cancelled; between those, callers call and order by hand."""
    number = 0
    for quote in quotes:
        for step in _order(quote, clerk, factory):
            yield step
            number += 1
            if number % 3 == 0:
                yield new_request(clerk, number)
            if number % 7 == 0:
                yield by_hand(clerk, number)


def _order(quote: int, clerk: Person, factory: Person) -> Iterator[Step]:
    from django.utils import timezone

    from ordering.links import page_of_factory
    from ordering.models import FactoryOrder, Order, OrderLine
    from quotes.models import Issue, Letter

    every = OrderLine.objects.filter(order__acceptance__quote=quote).order_by("pk")
    lines = every.filter(remake_of=None)
    there = Order.objects.filter(acceptance__quote=quote).exists
    issue = Issue.objects.get(quote=quote)
    ordered = dict(
        enumerate(issue.lines.order_by("position", "id").values_list("quantity", flat=True), 1)
    )
    first = {number: count - 1 or 1 for number, count in ordered.items()}
    rest = {number: count - first[number] for number, count in ordered.items()}
    yield Step(
        (quote, "placed"), clerk, f"/orders/place/{quote}/", lambda: [("go", 1)], there, says=says(ordered)
    )  # fmt: skip
    order = Order.objects.get(acceptance__quote=quote)
    # As the page had it: what is sent again is the same form.
    deposit = [("amount", f"{quote}.25"), ("how", "cash"), ("version", order.version)]
    noted = order.events.filter(act="deposit").exists
    yield Step(
        (quote, "deposit"), clerk, f"/orders/{order.pk}/deposit/", lambda: deposit, noted,
        says=says({}, f"{quote}.25"),
    )  # fmt: skip

    def ticked() -> list[tuple[str, object]]:
        return [pair for line in lines.all() for pair in (("line", line.pk), version(line))]

    sent = lines.exclude(factory_order=None).exists
    yield Step((quote, "sent"), clerk, "/orders/send/", ticked, sent, says=says(ordered))

    to = f"quote{quote}@quill.example"
    written = Letter.objects.filter(to=to).exists
    path = f"/quotes/issued/{issue.pk}/send/"
    yield Step((quote, "letter"), clerk, path, lambda: [("to", to)], written)

    page = "/" + page_of_factory(FactoryOrder.objects.get(lines=lines[0])).split("/", 3)[3]
    day = timezone.localdate() + timedelta(200)
    dated = lines.filter(promised_on=day).exists
    yield Step(
        (quote, "promised"), factory, page, lambda: [("do", "dates"), ("all", day)], dated,
        says=says(ordered, day.isoformat()),
    )  # fmt: skip
    for left, part in ((1, first), (2, rest)):

        def shipped(part=part) -> list[tuple[str, object]]:
            form: list[tuple[str, object]] = [("do", "shipped")]
            for line in lines.all():
                form += [version(line), (f"count-{line.pk}", part[line.number])]
            return form

        def gone(left=left) -> bool:
            return times_left(quote) >= left

        yield Step((quote, f"left {left}"), factory, page, shipped, gone, says=says(part))
        if left == 1:
            yield _made_again(quote, clerk, lines[0])
    yield _cancelled(quote, clerk, every.exclude(remake_of=None))


def _made_again(quote: int, clerk: Person, line) -> Step:
    """A piece of that line came out wrong; the rest of it is still to leave."""
    why = f"bent {quote}"

    def form() -> list[tuple[str, object]]:
        line.refresh_from_db()
        return [("count", 1), ("cause", "factory"), ("why", why), ("version", line.version)]

    path = f"/orders/{line.order_id}/lines/{line.number}/again/"
    return Step(
        (quote, "remade"), clerk, path, form, line.remakes.exists, says=says({line.number: 1}, why)
    )


def _cancelled(quote: int, clerk: Person, again) -> Step:
    """The piece made again is not wanted after all."""
    line, why = again.first(), f"not wanted {quote}"
    of_order = f"/orders/{line.order_id}/cancel/"
    # As the page had it: what is sent again is the same form.
    form = [("line", line.number), (f"version-{line.number}", line.version), ("why", why)]
    done = again.filter(step="cancelled").exists
    return Step(
        (quote, "cancelled"), clerk, of_order, lambda: form, done, says=says({line.number: 1}, why)
    )  # fmt: skip


def says(pieces: Mapping[int, int], other: str = "") -> tuple:
    """What an act comes to: (pieces by line, what else it says: a day, an amount, why)."""
    return tuple(sorted((number, count) for number, count in pieces.items() if count)), other


def version(line) -> tuple[str, object]:
    return f"version-{line.pk}", line.version


def times_left(quote: int) -> int:
    from ordering.models import Event

    return Event.objects.filter(order__acceptance__quote=quote, act="left").count()
