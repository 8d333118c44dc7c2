"""The live answer's request beside a bare view on the same stack: at most 3 times as long.

The bare view signs in through the same middleware, makes one indexed query and renders one line.
"""

from __future__ import annotations

from time import perf_counter

import numpy as np
import pytest
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template import Context, Template
from django.urls import path

from config.urls import urlpatterns as product
from sizing.models import Revision
from tests.quotes.conftest import clerk, liner  # noqa: F401 (fixtures)
from tests.quotes.counter_page import page

LINE = Template("<p>{{ revision.family.code }}, {{ request.user.username }}</p>")


def bare(request: HttpRequest, pk: int) -> HttpResponse:
    revision = get_object_or_404(Revision, pk=pk)
    return HttpResponse(LINE.render(Context({"revision": revision, "request": request})))


# Under the name of a page that everybody may read, so that the same gate lets it through.
urlpatterns = [*product, path("bare/<int:pk>/", bare, name="home")]


@pytest.mark.django_db
@pytest.mark.urls(__name__)
def test_live_answer_beside_a_bare_view(clerk, liner):  # noqa: F811
    """Three measures typed, the answer and the drawing back."""
    said = {"m-upper_glass": "22 3/4", "m-opening": "54 7/8", "m-sash_weight": "10"}
    body = page(said)

    def live():
        assert clerk.post("/counter/answer/?o=0", body).status_code == 200

    def floor():
        assert clerk.get(f"/bare/{liner.pk}/").status_code == 200

    times: dict[str, list[float]] = {"live": [], "floor": []}
    for _ in range(10):
        live(), floor()
    for _ in range(150):
        for name, work in (("live", live), ("floor", floor)):
            start = perf_counter()
            work()
            times[name].append(perf_counter() - start)
    live_ms, floor_ms = (1e3 * float(np.median(times[name])) for name in ("live", "floor"))
    ratios = np.array(times["live"]) / np.array(times["floor"])
    print(
        f"\nlive answer {live_ms:.2f} ms, bare view {floor_ms:.2f} ms, ratio {np.median(ratios):.2f}"
    )
    assert np.median(ratios) <= 3
