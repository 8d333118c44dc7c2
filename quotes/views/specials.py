"""Pages of the specials: the list by age, one special with all that happened, a question of lead time."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from quotes.desk import enquiries as desk
from quotes.desk import special_prices as prices
from quotes.desk import specials as flagged
from quotes.desk.factory_questions import answer_question
from quotes.desk.posting import letter_state
from quotes.desk.specials import EnquiryError
from quotes.documents.content import show_price
from quotes.documents.enquiry import enquiry_pdf
from quotes.documents.naming import name_of
from quotes.documents.opening_sheets import opening_sheet
from quotes.enquiries import REASONS
from quotes.find_forms import SpecialsFind
from quotes.forms.specials import FlagForm, LeadTimeForm, PriceForm
from quotes.links import factory_address
from quotes.lists.letters import questions_waiting
from quotes.lists.pages import SETTLED, WAITING
from quotes.lists.shop import the_shop
from quotes.lists.specials import (
    is_overdue,
    letters_about,
    margin_on,
    others_to_ask,
    settled,
    waiting_narrowed,
)
from quotes.models import Enquiry, FactoryQuestion, Opening, Request, Special
from quotes.svg import to_svg
from quotes.worklist import changed_since
from sizing.box_length import too_long
from sizing.lengths import Unit
from sizing.lists import show
from sizing.numerals import whole_number
from sizing.roles import has_role
from sizing.typed import typed

State = Special.State


@require_safe
def specials(request: HttpRequest) -> HttpResponseBase:
    """What is not settled, the oldest first; what was, below."""
    find = SpecialsFind(request.GET)
    lists = (WAITING, waiting_narrowed(find.said)), (SETTLED, settled(find.said))
    return show(request, "quotes/specials.html", find, *lists)


@require_POST
def ask_opening(request: HttpRequest, opening: int) -> HttpResponse:
    """The one press of the list: ask the factory about an opening."""
    found = get_object_or_404(Opening, pk=opening)
    try:
        enquiry = desk.ask_about(found.pk, by=request.user.get_username())
    except EnquiryError as error:
        messages.error(request, str(error))
        return redirect("specials")
    messages.success(request, _on_its_way(enquiry))
    return redirect("special", enquiry.special_id)


@require_POST
def ask_request(request: HttpRequest, pk: int, factory: int) -> HttpResponse:
    """One press: a factory is asked about all of a request that waits for it, in one letter."""
    get_object_or_404(Request, pk=pk)
    try:
        letters = desk.ask_all(pk, factory, by=request.user.get_username())
    except EnquiryError as error:
        messages.error(request, str(error))
    else:
        for first in letters:
            messages.success(request, _on_its_way(first))
    return redirect("specials") if "from-list" in request.POST else redirect("request", pk)


def _on_its_way(enquiry: Enquiry) -> str:
    count = enquiry.in_one_letter().count()
    about = f", about {count} openings," if count > 1 else ""
    return f"{enquiry}{about} is on its way to {enquiry.factory.name}."


def flag(request: HttpRequest, opening: int) -> HttpResponse:
    """Flag an opening by hand, with words; the manager asks later, or the factory is asked at once."""
    found = get_object_or_404(
        Opening.objects.select_related("request", "revision__family"), pk=opening
    )
    there = found.specials.filter(state__in=Special.OPEN).first()
    if there:
        return redirect("special", there.pk)
    form = FlagForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        words, by = form.cleaned_data["words"], request.user.get_username()
        try:
            if request.POST.get("do") == "aside":
                made = flagged.put_aside(found.pk, by=by, why=form.cleaned_data["why"])
                messages.success(request, f"{made} is {made.get_state_display()}.")
            elif request.POST.get("do") in ("ask", "ask-all"):
                together = request.POST["do"] == "ask-all"
                asked = desk.ask_about(found.pk, by=by, words=words, together=together)
                messages.success(request, _on_its_way(asked))
                made = asked.special
            else:
                made = flagged.flag(found.pk, by=by, words=words)
        except EnquiryError as error:
            form.add_error("why" if request.POST.get("do") == "aside" else "words", str(error))
        else:
            return redirect("special", made.pk)
    context = {
        "opening": found,
        "form": form,
        "name": name_of(found),
        "others": others_to_ask(found.request_id, found.revision.factory_id, found.pk),
        **_drawn(found),
    }
    return render(request, "quotes/special_flag.html", context, status=422 if form.errors else 200)


def _drawn(opening: Opening) -> dict[str, Any]:
    sheet, shown = opening_sheet(opening, name_of(opening), Unit(opening.revision.unit))
    return {
        "sheet": sheet,
        "shown": shown,
        "svg": to_svg(sheet.drawing, f"opening-{opening.pk}"),
        "whose": "they",
    }


@require_safe
def special(request: HttpRequest, pk: int) -> HttpResponse:
    """One special: its opening, what was asked and answered, what can be done now, what happened."""
    return _special(request, pk)


def _special(
    request: HttpRequest, pk: int, form: PriceForm | None = None, status: int = 200
) -> HttpResponse:
    found = get_object_or_404(
        Special.objects.select_related(
            "request",
            "opening__revision__family",
            "revision__factory",
            "part",
            "line__issue__quote",
        ),
        pk=pk,
    )
    enquiry = found.enquiry
    context = {
        "special": found,
        "enquiry": enquiry,
        "reason": REASONS[found.reason],
        "overdue": bool(enquiry) and found.state == State.ASKED and is_overdue(enquiry),
        "changed": _has_changed(found),
        "currency": found.revision.currency,
        **_prices(found, enquiry),
        "form": form or PriceForm(found.revision.sold_as),
        "letters": [(letter, letter_state(letter)) for letter in letters_about(found)],
        "questions": _questions(found),
        "asked_together": enquiry.in_one_letter().count() if enquiry else 0,
        "others": others_to_ask(found.request_id, found.revision.factory_id, found.opening_id)
        if found.state == State.FLAGGED
        else 0,
        "link": factory_address(enquiry) if enquiry and enquiry.closed_at is None else "",
        "is_manager": has_role(request.user, "manager"),
    }
    if found.opening:
        context |= _drawn(found.opening)
    return render(request, "quotes/special.html", context, status=status)


def _questions(found: Special) -> list[tuple[FactoryQuestion, bool]]:
    """What the factory asked in its letters, and whether that waits for an answer."""
    letters = {enquiry.first_pk for enquiry in found.enquiries.all()}
    asked = FactoryQuestion.objects.filter(enquiry__in=letters)
    waiting = set(questions_waiting().filter(enquiry__in=letters).values_list("pk", flat=True))
    return [(one, one.pk in waiting) for one in asked]


def _has_changed(found: Special) -> bool:
    """Whether the opening is another one by now, and no later special or its closing has seen to that."""
    opening = found.opening
    if opening is None or found.state in (State.FLAGGED, State.CLOSED):
        return False
    return changed_since(found) and not opening.specials.filter(pk__gt=found.pk).exists()


def _prices(found: Special, enquiry: Enquiry | None) -> dict[str, Any]:
    """The prices and the margin rule of a special in words; empty where there is none."""
    currency = found.revision.currency
    rule = margin_on(found.family, currency, timezone.localdate())

    def words(amount: Decimal | None) -> str:
        return "" if amount is None else f"{show_price(amount, currency)} {currency}"

    def percent(share: Decimal | None) -> str:
        return "" if share is None else f"{share.normalize():f}"

    return {
        "suggested": words(prices.suggested_price(found, enquiry) if enquiry else None),
        "rule": rule,
        "rule_percent": percent(rule.percent if rule else None),
        "check_over": words(rule.check_over if rule else None),
        "our_price": words(found.unit_price),
        "our_margin": percent(found.margin_percent),
    }


@require_POST
def special_do(request: HttpRequest, pk: int) -> HttpResponse:
    """One of the things that can be done with a special."""
    found = get_object_or_404(Special.objects.select_related("revision"), pk=pk)
    by, what = request.user.get_username(), request.POST.get("do", "")
    if what == "price":
        form = PriceForm(found.revision.sold_as, request.POST)
        if not form.is_valid():
            return _special(request, pk, form, status=422)
    manager = has_role(request.user, "manager")
    words, why = typed(request.POST, "words"), typed(request.POST, "why")
    trouble = too_long(words, 2000, "The words") or too_long(why, 500, "Why")
    if trouble:
        messages.error(request, trouble)
        return redirect("special", pk)
    actions: dict[str, Callable[[], Special | Enquiry]] = {
        "ask": lambda: desk.ask_factory(pk, by=by, words=words),
        "ask-all": lambda: desk.ask_with_others(pk, by=by, words=words),
        "price": lambda: prices.price(pk, **form.cleaned_data, by=by, is_manager=manager),
        "reply": lambda: answer_question(
            pk, whole_number(request.POST.get("question", "")), by=by, words=words
        ),
        "tell": lambda: prices.tell_refused(pk, by=by),
        "close": lambda: flagged.close(pk, by=by, why=why),
    }
    if manager:
        actions["check"] = lambda: prices.check(pk, by=by)
    try:
        done = actions[what]() if what in actions else None
    except EnquiryError as error:
        messages.error(request, str(error))
    else:
        if isinstance(done, Enquiry):
            messages.success(request, _on_its_way(done))
        elif done:
            messages.success(request, f"{done} is {done.get_state_display()}.")
    return redirect("special", pk)


@require_safe
def paper(request: HttpRequest, pk: int) -> HttpResponse:
    """The enquiry as the factory got it."""
    return paper_of(get_object_or_404(Enquiry.objects.select_related("special"), pk=pk))


def paper_of(enquiry: Enquiry) -> HttpResponse:
    """Its letter; with the page's code as long as there is anything to answer on it."""
    is_open = enquiry.in_one_letter().filter(closed_at=None).exists()
    link = factory_address(enquiry) if is_open else ""
    content = enquiry_pdf(enquiry.asking(), link, the_shop().paper_size)
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{enquiry.name}.pdf"'
    return response


def lead_time(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask the factory for a lead time alone; the answer comes into the request."""
    found = get_object_or_404(Request, pk=pk)
    form = LeadTimeForm(found, request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            enquiry = desk.ask_lead_time(
                found.pk,
                form.part.pk,
                form.cleaned_data["quantity"],
                by=request.user.get_username(),
                words=form.cleaned_data["words"],
            )
        except EnquiryError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _on_its_way(enquiry))
            return redirect("special", enquiry.special_id)
    status = 422 if form.errors else 200
    return render(
        request, "quotes/special_lead_time.html", {"caller": found, "form": form}, status=status
    )
