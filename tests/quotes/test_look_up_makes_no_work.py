"""A part looked up with nobody on the phone is kept as it was typed, and waits for nobody."""

import pytest

from quotes import worklist
from quotes.desk.people import choose_customer
from quotes.desk.specials import flag
from quotes.lists.specials import waiting
from quotes.lists.today import calls_to_finish
from quotes.models import Opening, Request

pytestmark = pytest.mark.django_db
PAGE = "6f1f0f0e-3f0e-4a55-9a0e-0d9f1c1c2b3a"
SPECIAL = {"o0-m-upper_glass": "15 1/2", "o0-m-lower_glass": "23 3/4", "o0-m-opening": "46 5/8"}


@pytest.fixture
def typed(liner):
    return {"openings": "0", "o0-family": "otter-liner", "o0-quantity": "1", "version": "0", "page": PAGE, **SPECIAL}  # fmt: skip


def saved(clerk, typed, do: str = "autosave", **more) -> Request:
    stored = Request.objects.first()
    address = f"/requests/{stored.pk}/" if stored else "/counter/"
    version = {"version": str(stored.version)} if stored else {}
    clerk.post(address, {**typed, **version, **more, "do": do})
    assert list(worklist.hidden()) == []
    return Request.objects.get()


def test_look_up_is_kept_and_waits_for_nobody(clerk, typed):
    """All of it is there under Requests; neither a call nor a special waits."""
    request = saved(clerk, typed)
    assert request.openings.get().said["lower_glass"] == "23 3/4"
    assert not calls_to_finish() and not waiting()
    assert "only looked up" in clerk.get("/requests/").text
    assert request not in clerk.get("/requests/?stands=unquoted").context["lists"]["requests"].page
    page = clerk.post(
        f"/requests/{request.pk}/", {**typed, "version": "1", "do": "autosave", "o0-label": "den"}
    )
    assert "as a look-up; Save makes it a call" in page.text


@pytest.mark.parametrize(
    "named", [{"caller": "Una"}, {"phone": "802 555 0117"}, {"email": "una@example.com"}, {"note": "rings again at 5"}]
)  # fmt: skip
def test_somebody_named_makes_it_a_call(clerk, typed, named):
    """Whoever is named, in whatever box, is called back; taking the name off again hides nothing."""
    saved(clerk, typed)
    saved(clerk, typed, **named)
    assert calls_to_finish() and waiting()
    saved(clerk, typed)
    assert calls_to_finish()


def test_press_makes_it_a_call(clerk, typed):
    """Save keeps it as a call, though no word of it is new; what saves by itself later leaves it one."""
    saved(clerk, typed)
    saved(clerk, typed, "save")
    assert calls_to_finish() and waiting()
    saved(clerk, typed, **{"o0-label": "den"})
    assert calls_to_finish()


def test_what_somebody_takes_on_is_a_call(clerk, typed):
    """Flagged for a factory, it is more than a look-up."""
    request = saved(clerk, typed)
    flag(Opening.objects.get().pk, by="mira")
    request.refresh_from_db()
    assert not request.looked_up


def test_customer_chosen_makes_it_a_call(clerk, typed):
    from quotes.models import Customer

    request = saved(clerk, typed)
    choose_customer(request.pk, Customer.objects.create(name="Una Brandt").pk, by="mira")
    assert list(calls_to_finish()) == [request]
