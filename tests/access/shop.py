"""A shop with one of everything, so that each address leads to something that is there."""

from io import BytesIO

from django.contrib.auth.models import Group, User
from openpyxl import load_workbook

from ordering.models import Notice
from quotes.desk.enquiries import ask_about
from quotes.desk.integrations import make_integration
from quotes.desk.posting import send_quote
from quotes.desk.schedules import take_in
from quotes.desk.staff import invite
from quotes.links import token_of
from quotes.models import Customer, Integration, TaxRate
from quotes.schedule import template_bytes
from sizing import lookup, tables
from sizing.models import Family, Revision
from tests.ordering.placed import accepted_quote, load_shop, sent_order
from tests.quotes.shop import cottage_opening, draft_quote, issued_quote, take_request

PEOPLE = ("nobody", "staff", "counter", "manager", "owner")


def people() -> dict[str, User | None]:
    """{role: somebody who has it}; nobody is not signed in."""
    made = {"nobody": None}
    for role in PEOPLE[1:]:
        made[role] = User.objects.create_user(f"{role}-person", f"{role}@tarnbrook.example")
        made[role].groups.add(Group.objects.get_or_create(name=role)[0])
    return made


def schedule():
    """A schedule of one window, worked out."""
    revision = Revision.objects.get()
    book = load_workbook(BytesIO(template_bytes(lookup.table_of(revision))))
    heads = {
        cell.value: cell.column for row in book.active.iter_rows() for cell in row if cell.value
    }
    row = max(cell.row for line in book.active.iter_rows() for cell in line if cell.value) + 1
    for head, column in heads.items():
        if "opening" in str(head).lower():
            book.active.cell(row, column, "47 7/8")
    out = BytesIO()
    book.save(out)
    return take_in(out.getvalue(), "hall.xlsx", revision, by="ann")


def arguments() -> dict[str, list]:
    """{address name: what its pattern asks for}, of things that are there. Builds them all."""
    load_shop()
    order, sent = sent_order()
    unplaced = accepted_quote(email="ida@quill.example")
    issue = issued_quote(caller="Ida Lorne", email="ida@lorne.example")
    letter = send_quote(issue.pk, "ida@lorne.example", "ann")
    draft = draft_quote(caller="Tam Oak", email="tam@oak.example")
    request = take_request(cottage_opening())
    opening = request.openings.get()
    enquiry = ask_about(opening.pk, by="ann")
    made = schedule()
    revision = Revision.objects.get()
    waiting = tables.store_draft(lookup.table_of(revision), "again.xlsx")
    one, other = Customer.objects.order_by("pk")[:2]
    quote_token, order_token = token_of(issue.link.nonce), token_of(order.nonce)
    invited = invite("Una Fell", "una@fell.example", "staff", "Oswin")
    by_pk = {
        "size-table-workbook": revision, "size-table-draft": waiting, "size-table-discard": waiting,
        "size-table-take-back": revision,
        "counter-parts": revision, "factory": revision.factory,
        "factory-calendar": revision.factory, "request": request, "customer": one,
        "customer-data": one, "customer-erase": one,
        "schedule": made, "schedule-progress": made, "schedule-request": made,
        "schedule-discard": made, "schedule-sender": made,
        "schedule-workbook": made, "quote": issue.quote, "quote-from-request": request,
        "quote-next": issue.quote, "quote-settle": issue.quote, "quote-lost": issue.quote,
        "quote-draft": draft,
        "quote-send": issue, "quote-word": issue, "quote-take-back": issue, "quote-paper": issue, "quote-sheet": issue,
        "letter-again": letter, "special": enquiry.special, "special-do": enquiry.special,
        "special-ask": opening, "enquiry-paper": enquiry,
        "special-flag": unplaced.request.openings.first(),
        "request-customer": request, "request-aside": request,
        "lead-time": request, "notice-called": Notice.objects.first(), "order": order,
        "order-note": order, "order-deposit": order, "order-cancel": order, "place-order": unplaced, "factory-order": sent,
        "chase-factory": sent, "staff-withdraw": invited,
        "staff-role": User.objects.first(),
        "staff-code-off": User.objects.first(), "staff-switch": User.objects.first(),
        "program-off": make_integration("till", "ann")[0],
    }  # fmt: skip
    by_token = {
        "quote-public": quote_token, "quote-accept": quote_token, "quote-change": quote_token,
        "quote-public-pdf": quote_token, "quote-public-xlsx": quote_token,
        "factory-answer": token_of(enquiry.nonce), "factory-paper": token_of(enquiry.nonce),
        "order-public": order_token, "order-calendar": order_token,
        "order-quote-pdf": order_token,
        "factory-public": token_of(sent.nonce), "factory-public-pdf": token_of(sent.nonce),
        "join": token_of(invited.nonce),
    }  # fmt: skip
    return {
        **{name: [row.pk] for name, row in by_pk.items()},
        **{name: [token] for name, token in by_token.items()},
        "size-table": [Family.objects.get().code],
        "program": [Integration.objects.get().pk],
        "api:read_request": [request.pk],
        "api:ask_for_quote": [request.pk],
        "api:read_quote": [issue.quote.pk],
        "api:accept_quote": [issue.quote.pk],
        "api:read_order": [order.pk],
        "measure": [Family.objects.get().code],
        "measure-sheet": [Family.objects.get().code],
        "measure-sent": [Family.objects.get().code],
        "measure-in": ["es", Family.objects.get().code],
        "measure-sheet-in": ["es", Family.objects.get().code],
        "measure-sent-in": ["es", Family.objects.get().code],
        "measuring-filled": [opening.pk],
        "schedule-template": [Family.objects.get().code],
        "customer-double": [one.pk, other.pk],
        "customer-merge": [one.pk, other.pk],
        "schedule-line": [made.pk, made.lines.first().pk],
        "quote-issue": [issue.quote.pk, issue.number],
        "price-back": ["tax", TaxRate.objects.first().pk],
        "notice-text": ["placed", "es"],
        "order-line": [order.pk, 1],
        "order-again": [order.pk, 1],
        "order-refused": [order.pk, 1],
        "order-take-back": [order.pk, 1],
        "factory-order-paper": [sent.pk, "pdf"],
        "request-ask": [request.pk, revision.factory.pk],
    }
