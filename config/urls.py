"""Addresses: each app keeps its own; sign-in stands here because it belongs to none of them."""

from django.contrib.auth import views as auth
from django.urls import include, path

from config.access import home

urlpatterns = [
    path("", home, name="home"),
    path("sign-in/", auth.LoginView.as_view(template_name="sign_in.html"), name="sign-in"),
    path("sign-out/", auth.LogoutView.as_view(), name="sign-out"),
    path("tables/", include("sizing.urls")),
    path("", include("quotes.urls")),
    path("", include("ordering.urls")),
]
