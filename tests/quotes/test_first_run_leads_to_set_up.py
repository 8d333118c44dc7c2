"""A fresh install leads to the one page that sets it up; afterwards that page is closed."""

import pytest
from django.contrib.auth.models import User

PAGES = ["/", "/counter/", "/requests/", "/orders/", "/tables/", "/sign-in/", "/shop/people/"]


@pytest.mark.django_db
@pytest.mark.parametrize("address", PAGES)
def test_every_page_leads_to_set_up(client, address):
    """With no user yet, whatever page is asked for ends at the setup page."""
    response = client.get(address, follow=True)
    assert response.redirect_chain[-1][0] == "/set-up/"
    assert response.status_code == 200
    assert b"Set up the shop" in response.content


@pytest.mark.django_db
def test_closed_once_somebody_can_sign_in(client):
    """As soon as there is a user, the setup page is closed to everybody, and so is posting to it."""
    User.objects.create_user("mira")
    assert client.get("/set-up/")["Location"] == "/"
    assert client.post("/set-up/", {"name": "Other"})["Location"] == "/"
    assert User.objects.count() == 1


@pytest.mark.django_db
def test_sign_in_page_once_there_is_a_user(client):
    """With a user, pages lead to the sign-in as ever."""
    User.objects.create_user("mira")
    response = client.get("/requests/", follow=True)
    assert response.redirect_chain[-1][0].startswith("/sign-in/")
