from django.urls import path
from django.views.generic import RedirectView

from quotes.views import counter

urlpatterns = [
    path("", RedirectView.as_view(pattern_name="counter"), name="home"),
    path("counter/", counter.counter, name="counter"),
    path("counter/answer/", counter.counter_answer, name="counter-answer"),
    path("counter/opening/", counter.counter_opening, name="counter-opening"),
    path("counter/parts/<int:revision>/", counter.counter_parts, name="counter-parts"),
    path("counter/kept/", counter.counter_kept, name="counter-kept"),
    path("requests/", counter.requests, name="requests"),
    path("requests/<int:pk>/", counter.counter, name="request"),
]
