"""A form of the desk is taken only from a page of the desk: each carries the token it was given."""

import pytest
from django.test import Client
from django.urls import reverse

from config.access import KEY, LINK, RULES

# A link's address or a program's key is the permission there, and `measure` is for everybody, in any language: nobody's
# right is used, so there is nothing to forge.
FORMS = sorted(
    name
    for name, rule in RULES.items()
    if rule.write and rule.write not in (LINK, KEY) and name not in ("measure", "measure-in")
)
# Where what was typed waits for its page to be shown again.
KEPT = {"counter": "/counter/kept/", "request": "/counter/kept/", "pasted": "/requests/pasted/"}


@pytest.mark.parametrize("name", FORMS)
def test_without_token(name, built, db):
    """Sent without its token it does nothing: it is refused, or shown again to be sent anew."""
    client = Client(enforce_csrf_checks=True, raise_request_exception=False)
    client.force_login(built[0]["owner"])
    response = client.post(reverse(name, args=built[1].get(name, [])), {"caller": "Mara Quill"})
    kept = response.status_code == 302 and response.url == KEPT.get(name)
    assert kept or response.status_code == 403
