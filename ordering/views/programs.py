"""What a program is told of news: where, with which secret, and what of it did not arrive."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from ordering.news import secret_of
from quotes.desk.integrations import tell_at
from quotes.forms.staff import NewsForm
from quotes.models import Integration


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def program(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Integration, pk=pk)
    form = NewsForm(request.POST or None, initial={"url": found.news_url})
    if request.method == "POST" and form.is_valid():
        tell_at(pk, form.cleaned_data["url"])
        words = (
            "is told of news there from now on" if form.cleaned_data["url"] else "is told no news"
        )
        messages.success(request, f"{found.name} {words}.")
        return redirect("program", pk)
    context = {
        "form": form,
        "program": found,
        "secret": secret_of(found) if found.news_url else "",
        "news": found.news.order_by("-pk")[:20],
    }
    return render(request, "ordering/program.html", context, status=422 if form.errors else 200)
