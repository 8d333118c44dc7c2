"""The API's addresses: the calls, their description, and the page that shows them at work."""

from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.urls import path

from config.api.calls import api
from config.api.page import worked_calls

app_name = "api"

_patterns, _, _ = api.urls
# A call brings its key, not a sign-in. The root, by which the description knows its address, is the page.
_calls = [pattern for pattern in _patterns if pattern.name != "api-root"]
for _pattern in _calls:
    login_not_required(_pattern.callback)

urlpatterns = [path("", worked_calls, name="api-root"), *_calls]
