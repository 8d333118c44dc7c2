from django.urls import path
from django.views.generic import RedirectView

from quotes.views import counter, people, public, quotes, schedules

urlpatterns = [
    path("", RedirectView.as_view(pattern_name="counter"), name="home"),
    path("counter/", counter.counter, name="counter"),
    path("counter/answer/", counter.counter_answer, name="counter-answer"),
    path("counter/opening/", counter.counter_opening, name="counter-opening"),
    path("counter/parts/<int:revision>/", counter.counter_parts, name="counter-parts"),
    path("counter/kept/", counter.counter_kept, name="counter-kept"),
    path("requests/", counter.requests, name="requests"),
    path("requests/<int:pk>/", counter.counter, name="request"),
    path("requests/<int:pk>/quote/", quotes.quote_from_request, name="quote-from-request"),
    path("customers/", people.customers, name="customers"),
    path("customers/new/", people.customer, name="customer-new"),
    path("customers/<int:pk>/", people.customer, name="customer"),
    path("customers/<int:pk>/double/<int:other>/", people.customer_double, name="customer-double"),
    path("customers/<int:pk>/merge/<int:other>/", people.customer_merge, name="customer-merge"),
    path("quotes/", quotes.quotes, name="quotes"),
    path("quotes/<int:pk>/", quotes.quote, name="quote"),
    path("quotes/<int:pk>/issue-<int:number>/", quotes.quote, name="quote-issue"),
    path("quotes/<int:pk>/next/", quotes.quote_next, name="quote-next"),
    path("quotes/<int:pk>/settle/", quotes.quote_settle, name="quote-settle"),
    path("quotes/draft/<int:pk>/", quotes.quote_draft, name="quote-draft"),
    path("quotes/issued/<int:pk>/send/", quotes.quote_send, name="quote-send"),
    path("quotes/issued/<int:pk>/word/", quotes.quote_word, name="quote-word"),
    path("quotes/papers/<int:pk>.pdf", quotes.quote_paper, name="quote-paper"),
    path("quotes/papers/<int:pk>.xlsx", quotes.quote_sheet, name="quote-sheet"),
    path("quotes/letters/<int:pk>/again/", quotes.letter_again, name="letter-again"),
    path("your-quote/<str:token>/", public.quote_public, name="quote-public"),
    path("your-quote/<str:token>/accept/", public.quote_accept, name="quote-accept"),
    path("your-quote/<str:token>/change/", public.quote_change, name="quote-change"),
    *(
        path(
            f"your-quote/<str:token>/quote.{ending}",
            public.quote_public_paper,
            {"ending": ending},
            name=f"quote-public-{ending}",
        )
        for ending in ("pdf", "xlsx")
    ),
]
