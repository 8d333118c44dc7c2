"""Whatever goes wrong, the words come back to their boxes."""

import html
import re

import pytest
from django.test import Client

from quotes.models import Request
from tests.access.signing_in import known
from tests.quotes.conftest import clerk_named
from tests.quotes.counter_page import fields_of, page, words_of

TYPED = {"label": "stairs", "m-upper_glass": "20 1/4", "m-opening": "4 ft"}
HEAD = {"caller": "Ann Lowe", "phone": "802 555 0131", "note": "two lines\nof note"}
WRONG = {
    "e-mail": ({"email": "ann at home"}, {}, "email", "This is no e-mail address"),
    "count": ({}, {"quantity": "none"}, "o0-quantity", "The count is no whole number"),
    "another part": ({}, {"override": "XYZ-1", "override_reason": "old one was"}, "o0-override",
                     "is no part of Otter Hollow jamb liner"),
    "part mistyped": ({}, {"override": "OHL-05AM", "override_reason": "old one was"}, "o0-override",
                      ": is it OHL-05MA?"),
    "reason": ({}, {"override": "OHL-05MA"}, "o0-override_reason", "Say why OHL-05MA is chosen"),
    "long label": ({}, {"label": "x" * 81}, "o0-label", "Which window is 81 characters long; up to 80 are kept"),
    "long name": ({"caller": "N" * 300}, {}, "caller", "Caller is 300 characters long; up to 120 are kept"),
    "pasted words": ({}, {"m-upper_glass": "20 1/4 " * 20}, "o0-m-upper_glass", "up to 60 are kept"),
}  # fmt: skip


@pytest.mark.parametrize("head, opening, field, sentence", WRONG.values(), ids=WRONG.keys())
def test_failed_save(clerk, liner, head, opening, field, sentence):
    """A save that fails names the field at the top with a link, and every word is still there."""
    typed = page({**TYPED, **opening}, **{**HEAD, **head})
    response = clerk.post("/counter/", typed)
    assert response.status_code == 422
    assert f'<a href="#{field}">' in response.content.decode()
    assert sentence in words_of(response)
    assert "Please mend 1 thing." in words_of(response)
    sent_back = fields_of(response)
    assert {name: sent_back[name] for name in typed} == typed | {"openings": "0"}
    assert not Request.objects.exists()


@pytest.mark.parametrize("head, opening, field, sentence", WRONG.values(), ids=WRONG.keys())
def test_saving_by_itself_names_what_hinders_it(clerk, liner, head, opening, field, sentence):
    """The box may be eleven windows up: the line beside Save says what it is and leads there."""
    typed = page({**TYPED, **opening}, **{**HEAD, **head}) | {"do": "autosave"}
    told = clerk.post("/counter/", typed)
    assert f'<a href="#{field}">' in told.content.decode()
    assert "Not saved:" in words_of(told) and sentence in words_of(told)
    beside_its_box = re.search(r'id="email_error" [^>]*>([^<]*)', told.content.decode())[1]
    assert beside_its_box == (
        html.escape(sentence) + ": type one like name@place.com." if field == "email" else ""
    )


def test_unreadable_measure_is_saved_as_typed(clerk, liner):
    """A text that says no length is kept, and what is wrong with it is told."""
    saved = clerk.post("/counter/", page({**TYPED, "m-lower_glass": "2-6"}))
    response = clerk.get(saved["Location"])
    assert fields_of(response)["o0-m-lower_glass"] == "2-6"
    assert "“2-6”" in words_of(response)
    assert Request.objects.get().openings.get().answer["outcome"] == "error"


def test_sign_in_ran_out(client, liner):
    """What was posted without a sign-in comes back after it, unsaved, and can then be saved."""
    clerk_named("mira", password="a long enough one")
    client.cookies.load(known())
    response = client.post("/counter/", page(TYPED, **HEAD))
    assert response["Location"].startswith("/sign-in/?next=/counter/kept/")
    signed_in = client.post(
        response["Location"], {"username": "mira", "password": "a long enough one"}, follow=True
    )
    fields = fields_of(signed_in)
    assert (fields["caller"], fields["o0-m-upper_glass"]) == ("Ann Lowe", "20 1/4")
    assert "not saved yet" in words_of(signed_in)
    assert not Request.objects.exists()
    client.post("/counter/", fields)
    assert Request.objects.get().caller == "Ann Lowe"


def test_signed_in_again_elsewhere(liner):
    """A page older than the present sign-in is not refused outright: its words come back."""
    client = Client(enforce_csrf_checks=True)
    client.force_login(clerk_named("mira"))
    client.get("/counter/")
    response = client.post("/counter/", {**page(TYPED, **HEAD), "csrfmiddlewaretoken": "0" * 32})
    assert response["Location"] == "/counter/kept/"
    assert fields_of(client.get("/counter/kept/"))["o0-m-opening"] == "4 ft"
    assert not Request.objects.exists()


def test_page_of_another_site_is_refused(liner):
    """A form that comes from another site is refused and leaves nothing behind."""
    client = Client(enforce_csrf_checks=True)
    client.force_login(clerk_named("mira"))
    client.get("/counter/")
    response = client.post("/counter/", page(TYPED), headers={"origin": "https://elsewhere.test"})
    assert response.status_code == 403
    assert "kept" not in client.session
