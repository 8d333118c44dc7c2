"""The factory's page behind the link: all that its letter asks, and boxes to answer. No sign-in."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import wraps

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from quotes.desk.factory_answers import take_answers
from quotes.desk.factory_questions import take_question
from quotes.documents.content import OpeningSheet
from quotes.enquiries import Asked, Asking
from quotes.forms.factory import LetterForm, QuestionForm
from quotes.forms.factory_answer import AnswerForm
from quotes.links import find_enquiry
from quotes.lists.letters import TAKES_ANSWERS, Standing, letter_of, standing, thing_of, why_closed
from quotes.models import Enquiry
from quotes.svg import to_svg
from quotes.views.specials import paper_of

View = Callable[..., HttpResponse]


@dataclass(frozen=True)
class Item:
    """One thing that a letter asks, as its page shows it."""

    enquiry: Enquiry
    asked: Asked
    standing: Standing
    closed: str
    form: AnswerForm | None
    refused: str
    sheet: OpeningSheet | None
    svg: str


def _by_link(view: View) -> View:
    """A view of the enquiry that the link's token opens. That the address goes to nobody else and a form needs no
    token is seen to for all such pages: `config.envelope`, `config.access.Gate`."""

    @login_not_required
    @never_cache
    @wraps(view)
    def opened(request: HttpRequest, token: str) -> HttpResponse:
        enquiry = find_enquiry(token)
        if enquiry is None:
            return render(request, "quotes/factory_gone.html", status=404)
        return view(request, token, enquiry)

    return opened


@_by_link
@require_http_methods(["GET", "HEAD", "POST"])
def factory_answer(request: HttpRequest, token: str, enquiry: Enquiry) -> HttpResponse:
    """What is asked and boxes for it. What is answered is kept; what can't be comes back as it was typed.

    A question is kept whichever button sends it; the button that only asks leaves the answer for later.
    """
    letter, question = letter_of(enquiry), QuestionForm()
    if request.method == "POST" and request.POST.get("question", "").strip():
        question = _take(enquiry, request.POST)
    elif request.POST.get("do") == "ask":
        question = QuestionForm(request.POST)
    if request.POST.get("do") == "ask":
        form = LetterForm(letter)
        form.give_back(request.POST)
    elif request.method == "POST":
        form = LetterForm(letter, request.POST)
        said = form.said()
        refused = take_answers(enquiry, said)
        letter = letter_of(enquiry)
        form.settle(letter, said, refused)
        if form.is_done and not question.errors:
            # To what is answered: the browser puts the cursor there.
            return redirect(f"{reverse('factory-answer', args=[token])}#standing")
    else:
        form = LetterForm(letter, correct=request.GET.get("correct", ""))
    items = list(_items(letter, form))
    context = {
        "token": token,
        "asking": Asking(tuple(item.asked for item in items)),
        "asked": items[0].asked,
        "items": items,
        "form": form,
        "question": question,
        "summary": list(dict.fromkeys((*form.summary, *question.summary))),
        "questions": letter[0].questions.all(),
        "answered": sum(bool(enquiry.answered_at) for enquiry in letter),
        "is_open": any(item.form for item in items),
        "waits": any(item.standing is Standing.OPEN for item in items),
        "whose": "they",
    }
    status = 422 if form.who.is_bound or question.errors else 200
    return render(request, "quotes/factory_answer.html", context, status=status)


def _take(enquiry: Enquiry, said: QueryDict) -> QuestionForm:
    """The question as it was kept, so that its box is empty again; or with what stands in its way."""
    question = QuestionForm(said)
    if question.is_valid():
        words = question.cleaned_data
        why = take_question(enquiry, words["name"], words["question"])
        if not why:
            return QuestionForm()
        question.add_error("question", why)
    return question


def _items(letter: list[Enquiry], form: LetterForm) -> Iterator[Item]:
    for enquiry in letter:
        asked, how = enquiry.asked(), standing(enquiry)
        takes = how in TAKES_ANSWERS
        yield Item(
            enquiry=enquiry,
            asked=asked,
            standing=how,
            closed="" if takes else why_closed(how, asked.shop[0], thing_of(letter)),
            form=form.answers.get(enquiry.pk),
            refused=form.refused.get(enquiry.pk, ""),
            sheet=asked.opening,
            svg=to_svg(asked.opening.drawing, f"asked-{enquiry.pk}") if asked.opening else "",
        )


@_by_link
@require_safe
def factory_paper(request: HttpRequest, token: str, enquiry: Enquiry) -> HttpResponse:
    return paper_of(enquiry)
