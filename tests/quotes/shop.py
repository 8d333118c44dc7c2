"""A small shop for quote tests: the demo's liner in force, dated prices, and a request of six openings."""

from datetime import date
from decimal import Decimal

from moneyed import Money

from fixtures.build import liner
from quotes.desk.drafts import Head, add_line, change_head, change_line
from quotes.desk.issuing import issue_quote
from quotes.desk.quoting import begin_quotes
from quotes.desk.requests import save_request
from quotes.models import FreightStep, Issue, QuantityBreak, Request, TaxRate, Terms
from quotes.said import SaidOpening, SaidRequest
from sizing.tables import import_workbook

__all__ = ["add_line"]

SINCE = date(2020, 1, 1)
INCH, POUND = 8128, 453_592_370_000


def load_liner():
    return import_workbook(liner(), "test", [], SINCE, "ann")


def load_prices():
    Terms.objects.create(
        name="trade", in_force_from=SINCE, discount_percent=Decimal("7.5"), deposit_percent=40,
        net_days=30,
    )  # fmt: skip
    QuantityBreak.objects.create(in_force_from=SINCE, from_quantity=6, percent=Decimal("2.5"))
    FreightStep.objects.create(
        in_force_from=SINCE, carrier="cart", length=100 * INCH, length_and_girth=160 * INCH,
        weight=60 * POUND, price=Money("23.40", "USD"),
    )  # fmt: skip
    TaxRate.objects.create(
        in_force_from=SINCE, name="state", country="US", region="VT", percent=Decimal("6.125")
    )


def set_up():
    """Sizes in force, and prices: what a quote can be made of."""
    load_liner()
    load_prices()


def opening(label="", quantity=1, finish="slate", **measures):
    return SaidOpening(
        family="otter-liner", label=label, measures=measures, finish=finish, quantity=quantity
    )


def part_opening(label="Kitchen", quantity=1, finish="slate"):
    """Row glass 20 1/4: opening 47 7/8, long point 48 5/8; a sash of 12 lb."""
    return opening(
        label, quantity, finish,
        upper_glass="20 1/4", lower_glass="20 1/4", opening="47 7/8", long_point="48 5/8",
        sash_weight="9",
    )  # fmt: skip


def cottage_opening(label="Stairs"):
    return opening(label, upper_glass="16", lower_glass="24", opening="47 3/8", sash_weight="9")


def take_request(
    *openings, caller="Mara Quill", phone="802 555 0117", email="mara@quill.example", language=""
):
    said = SaidRequest(
        caller=caller, phone=phone, email=email, language=language, openings=openings
    )
    return save_request(said, by="ann")


def draft_quote(*openings, **caller) -> Issue:
    """A draft quote for the request, picked up at the counter."""
    request = take_request(*(openings or (part_opening(),)), **caller)
    return draft_of(request)


def draft_of(request: Request) -> Issue:
    (quote,) = begin_quotes(request.pk, "ann")
    return quote.issues.first()


def price_specials(issue, price="180.00"):
    for line in issue.lines.filter(kind="special"):
        change_line(
            line.pk, quantity=line.quantity, unit_price=Decimal(price),
            description=line.description, taxable=True,
        )  # fmt: skip


def issued_quote(*openings, **caller) -> Issue:
    issue = draft_quote(*openings, **caller)
    price_specials(issue)
    change_head(issue.pk, Head(None, True, None, "", 30))
    return issue_quote(issue.pk, "ann")
