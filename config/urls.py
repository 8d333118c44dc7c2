"""Addresses: each app keeps its own; sign-in stands here because it belongs to none of them."""

from django.contrib.auth import views as auth
from django.urls import include, path

from config.health import health
from config.kept import kept
from quotes.views.sign_in import SignIn, sign_in_code

urlpatterns = [
    path("health/", health, name="health"),
    path("sign-in/", SignIn.as_view(), name="sign-in"),
    path("sign-in/code/", sign_in_code, name="sign-in-code"),
    path("sign-out/", auth.LogoutView.as_view(), name="sign-out"),
    path("kept/", kept, name="kept"),
    path("api/", include("config.api.urls")),
    path("tables/", include("sizing.urls")),
    path("", include("quotes.urls")),
    path("", include("ordering.urls")),
]

handler400 = "config.trouble.bad_request"
handler404 = "config.trouble.not_there"
handler500 = "config.trouble.answer"
