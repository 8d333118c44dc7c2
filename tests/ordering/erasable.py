"""A customer with something of everything, whose words all hold one that stands nowhere else."""

from django.apps import apps
from django.db import models

from ordering.events import place_from_quote, send_to_factories, write
from ordering.models import Order
from ordering.states import Act
from quotes.desk.accepting import accept, ask_for_changes
from quotes.desk.drafts import Head, add_line, change_head
from quotes.desk.enquiries import ask_about
from quotes.desk.factory_questions import answer_question, take_question
from quotes.desk.issuing import issue_quote
from quotes.desk.posting import send_quote
from quotes.desk.specials import close, flag
from quotes.models import Address, Customer, Shop
from tests.ordering.placed import CLERK, MANAGER, load_shop
from tests.quotes import shop

# One of these stands in every word that is the customer's own.
OWN = ("quartzbeck", "zebulon", "555 0163", "5550163", "tealwood", "attic", "wrong stop, i say")
CALLER = {
    "caller": "Zebulon Quartzbeck",
    "phone": "802 555 0163",
    "email": "zeb@quartzbeck.example",
}


def customer() -> Customer:
    """Quoted, changed, accepted, ordered, sent to the factory, cancelled with a reason; two specials closed."""
    load_shop()
    Shop.objects.create(pk=1, name="Tarnbrook Sash", email="desk@tarnbrook.example", country="US")
    issue = shop.draft_quote(
        shop.part_opening("Attic", quantity=3), shop.cottage_opening("Attic stairs"), **CALLER
    )
    shop.price_specials(issue)
    add_line(issue.pk, "Box for Mr Quartzbeck", 2, 4)
    person = issue.quote.customer
    # Their papers are in Spanish, with what the factory reads beside it in English.
    Customer.objects.filter(pk=person.pk).update(
        channel="email", note="tealwood floor", language="es"
    )
    place = Address.objects.create(
        customer=person, label="Attic", street="4 Tealwood Row", town="Corley", region="VT"
    )
    change_head(
        issue.pk, Head(place, False, None, "Ring Zebulon, or leave it with tealwood next door", 30)
    )
    issued = issue_quote(issue.pk, "ann")
    send_quote(issued.pk, CALLER["email"], "ann")
    ask_for_changes(
        issued.pk,
        name="Zebulon",
        measures={"Opening 1, Attic": "wrong stop, I say"},
        words="tealwood",
    )
    names = [sheet["name"] for sheet in issued.document["openings"]]
    issued.changes_asked.update(done_by="ann", done_at=issued.issued_at)
    accept(issued.pk, name="Zebulon Quartzbeck", ticked=names)
    order = place_from_quote(issued.quote_id, CLERK)
    lines = list(order.lines.exclude(factory=None))
    send_to_factories([line.pk for line in lines], CLERK)
    order.refresh_from_db()
    pieces = {line.number: line.quantity for line in order.lines.all()}
    data = {"no_return": True}
    write(order.pk, Act.CANCELLED, pieces, MANAGER, why="Zebulon changed his mind", data=data)
    windows = shop.cottage_opening("Attic"), shop.cottage_opening("Zebulon's room")
    first, second = shop.take_request(*windows, **CALLER).openings.all()
    flag(second.pk, by="ann", words="the one of Zebulon")
    asked = ask_about(first.pk, by="ann", words="for Zebulon", together=True)
    for words in ("is it Zebulon's?", "of tealwood?"):
        take_question(asked, "Jo Marsh", words)
    answer_question(asked.special_id, asked.questions.first().pk, by="ann", words="Zebulon's")
    for enquiry in asked.in_one_letter():
        close(enquiry.special_id, by="ann", why="tealwood")
    return person


def own_words_held() -> dict[str, str]:
    """{table and column: what it holds} of every text in the database that has one of OWN in it."""
    found = {}
    kinds = (models.CharField, models.TextField, models.JSONField)
    for model in apps.get_models():
        fields = [f.attname for f in model._meta.concrete_fields if isinstance(f, kinds)]
        for row in model._base_manager.values(*fields) if fields else ():
            for name, value in row.items():
                if any(word in str(value).casefold() for word in OWN):
                    found[f"{model._meta.label} {name}"] = str(value)
    return found


def order_of(person: Customer) -> Order:
    return Order.objects.get(customer=person)
