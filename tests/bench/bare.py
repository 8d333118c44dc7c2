"""The floor of the page benchmarks: a view behind the same middleware with one indexed query and a small template."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template import Context, Template
from django.urls import path

from config.urls import handler500
from config.urls import urlpatterns as product
from ordering.models import Order

LINE = Template("<p>{{ order.number }} for {{ order.customer }}, {{ request.user.username }}</p>")


def bare(request: HttpRequest, pk: int) -> HttpResponse:
    order = get_object_or_404(Order.objects.select_related("customer"), pk=pk)
    return HttpResponse(LINE.render(Context({"order": order, "request": request})))


# Under the name of a page that everybody may open, so that the same gate lets it through.
urlpatterns = [path("bare/<int:pk>/", bare, name="when"), *product]

__all__ = ["handler500", "urlpatterns"]
