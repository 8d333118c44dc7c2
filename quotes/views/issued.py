"""What the desk does with an issued quote: letters, answers, taking it back, the customer's word, papers."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST, require_safe

from quotes.desk.accepting import NotOpenError, accept, let_stand, take_back
from quotes.desk.drafts import QuoteError
from quotes.desk.posting import letter_state, send_again, send_copy, send_quote
from quotes.documents.quote_papers import papers_of
from quotes.forms.quote import SendForm, WordForm
from quotes.lists.issue_states import state_of
from quotes.lists.issues import document_of
from quotes.models import Acceptance, Issue, Letter, Quote
from quotes.views.quotes import quote_page
from sizing.box_length import too_long
from sizing.downloads import as_file
from sizing.numerals import whole_number
from sizing.typed import typed

# An answer to a customer takes no more letters than its box.
MOST_ANSWERED = 2000


@require_POST
def quote_settle(request: HttpRequest, pk: int) -> HttpResponse:
    """Answer one thing that the customer asked; the issue stands as it is."""
    quote = get_object_or_404(Quote, pk=pk)
    answer = request.POST.get("answer", "")
    if trouble := too_long(answer, MOST_ANSWERED, "Your answer"):
        messages.error(request, trouble)
        return redirect("quote", pk)
    by, only = request.user.get_username(), whole_number(request.POST.get("asked", ""))
    asked = let_stand(quote.pk, by, answer, only)
    word = state_of(asked[-1].issue).word if asked else ""
    if word == "open":
        messages.success(request, "The issue stands and can be accepted.")
    elif word == "lapsed":
        messages.warning(
            request, "The issue has lapsed meanwhile: begin the next one if they still want it."
        )
    return redirect("quote", pk)


@require_POST
def quote_take_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Take an issue back in which something is wrong, before somebody accepts it."""
    issue = get_object_or_404(Issue, pk=pk, issued_at__isnull=False)
    why = typed(request.POST, "why").strip()
    trouble = too_long(why, MOST_ANSWERED, "What is wrong")
    if trouble or not why:
        back = trouble or "Say what is wrong: the customer reads it."
        return quote_page(request, issue, 422, back=back)
    try:
        take_back(issue.pk, request.user.get_username(), why)
    except NotOpenError as error:
        messages.error(request, f"Not taken back: {error}")
    else:
        messages.success(request, "It is taken back and can't be accepted. Begin the next issue.")
    return redirect("quote-issue", issue.quote_id, issue.number)


@require_POST
def quote_send(request: HttpRequest, pk: int) -> HttpResponse:
    issue = get_object_or_404(Issue, pk=pk)
    form = SendForm(request.POST)
    if not form.is_valid():
        return quote_page(request, issue, 422, send=form)
    try:
        letter = send_quote(issue.pk, form.cleaned_data["to"], request.user.get_username())
    except QuoteError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"The letter to {letter.to}: {letter_state(letter)}.")
    return redirect("quote-issue", issue.quote_id, issue.number)


@require_POST
def letter_again(request: HttpRequest, pk: int) -> HttpResponse:
    """Try a letter again that failed; of one that went, send a copy."""
    letter = get_object_or_404(Letter.objects.select_related("issue"), pk=pk, issue__isnull=False)
    if letter.sent_at:
        copy = send_copy(letter, request.user.get_username())
        messages.success(request, f"A copy to {copy.to}: {letter_state(copy)}.")
    else:
        send_again(letter.pk)
    return redirect("quote-issue", letter.issue.quote_id, letter.issue.number)


@require_POST
def quote_word(request: HttpRequest, pk: int) -> HttpResponse:
    """Accept on the customer's word."""
    issue = get_object_or_404(Issue, pk=pk, issued_at__isnull=False)
    form = WordForm(request.POST)
    if not form.is_valid():
        return quote_page(request, issue, 422, word=form)
    try:
        accept(
            issue.pk,
            name=form.cleaned_data["name"],
            their_number=form.cleaned_data["their_number"],
            ticked=[sheet.name for sheet in document_of(issue).openings],
            how=Acceptance.How(form.cleaned_data["how"]),
            taken_by=request.user.get_username(),
        )
    except NotOpenError as error:
        messages.error(request, f"Not accepted: {error}")
    else:
        messages.success(request, f"{issue} is accepted for {form.cleaned_data['name']}.")
    return redirect("quote-issue", issue.quote_id, issue.number)


@require_safe
def quote_paper(request: HttpRequest, pk: int) -> HttpResponse:
    return paper(get_object_or_404(Issue, pk=pk), "pdf")


@require_safe
def quote_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    return paper(get_object_or_404(Issue, pk=pk), "xlsx")


def paper(issue: Issue, ending: str) -> HttpResponse:
    """The issue as a file to download."""
    return as_file(*next(papers_of(issue, [ending])))
