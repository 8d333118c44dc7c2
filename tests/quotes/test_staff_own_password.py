"""Everybody changes their own password, knowing the present one."""

import pytest
from django.contrib.auth.models import Group, User
from django.test import Client

from tests.quotes.first_run import signs_in

pytestmark = pytest.mark.django_db
OLD, NEW = "ash and chalk 99", "slate and chalk 88"


@pytest.fixture
def mira():
    user = User.objects.create_user("mira", password=OLD)
    user.groups.add(Group.objects.create(name="staff"))
    return user


def change(client, old=OLD, new=NEW, again=NEW):
    typed = {"old_password": old, "new_password1": new, "new_password2": again}
    return client.post("/password/", typed, follow=True)


def test_changed(mira):
    """The new one works, the old one does not, and this browser stays signed in."""
    client, elsewhere = Client(), Client()
    client.force_login(mira)
    elsewhere.force_login(mira)
    assert "Your password is changed" in change(client).content.decode()
    assert signs_in("mira", NEW)
    assert not signs_in("mira", OLD)
    assert client.get("/password/").status_code == 200
    assert elsewhere.get("/password/").status_code == 302


@pytest.mark.parametrize(
    ("old", "new", "again"),
    [("wrong one 11", NEW, NEW), (OLD, NEW, "another one 12"), (OLD, "mira", "mira")],
)
def test_refused(mira, old, new, again):
    """A wrong present password, two that differ, or a weak one: said, and nothing changes."""
    client = Client()
    client.force_login(mira)
    page = change(client, old, new, again)
    assert page.status_code == 422
    assert "Not changed" in page.content.decode()
    assert signs_in("mira", OLD)
