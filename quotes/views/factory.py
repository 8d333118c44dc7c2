"""The factory's page behind the link: what is asked, and a form to answer it. No sign-in."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods, require_safe

from quotes.desk.enquiries import ANSWERABLE, EnquiryError, take_answer
from quotes.drawing import to_svg
from quotes.links import find_enquiry
from quotes.models import Enquiry
from quotes.special_forms import AnswerForm
from quotes.views.specials import paper_of

View = Callable[..., HttpResponse]


def _by_link(view: View) -> View:
    """A view of the enquiry that the link's token opens; the address goes to nobody else."""

    # The unguessable address is the whole permission: no cookie takes part, so there is nothing to
    # forge, and a page without referrer could not pass the check of where a form came from.
    @csrf_exempt
    @login_not_required
    @never_cache
    @wraps(view)
    def opened(request: HttpRequest, token: str) -> HttpResponse:
        enquiry = find_enquiry(token)
        if enquiry is None:
            response = render(request, "quotes/factory_gone.html", status=404)
        else:
            response = view(request, token, enquiry)
        response["Referrer-Policy"] = "no-referrer"
        response["X-Robots-Tag"] = "noindex, nofollow"
        return response

    return opened


@_by_link
@require_http_methods(["GET", "HEAD", "POST"])
def factory_answer(request: HttpRequest, token: str, enquiry: Enquiry) -> HttpResponse:
    """What is asked and the form; once the desk has settled it, what was answered and no form."""
    asked = enquiry.asked()
    settled = enquiry.closed_at is not None or enquiry.special.state not in ANSWERABLE
    form = AnswerForm(asked, request.POST or None, initial=AnswerForm.before(enquiry))
    if request.method == "POST" and not settled and form.is_valid():
        try:
            take_answer(enquiry.pk, form.answer())
        except EnquiryError:
            pass  # The page itself tells that it is settled.
        return redirect("factory-answer", token)
    context = {
        "token": token,
        "enquiry": enquiry,
        "asked": asked,
        "form": form,
        "settled": settled,
        "sheet": asked.opening,
        "svg": to_svg(asked.opening.drawing, "asked") if asked.opening else "",
        "whose": "they",
    }
    status = 422 if form.is_bound and form.errors else 200
    return render(request, "quotes/factory_answer.html", context, status=status)


@_by_link
@require_safe
def factory_paper(request: HttpRequest, token: str, enquiry: Enquiry) -> HttpResponse:
    return paper_of(enquiry)
