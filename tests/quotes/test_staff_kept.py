"""The owner changes roles and switches people off; one owner always remains; nobody else may."""

import pytest
from django.contrib.auth.models import Group, User
from django.test import Client

from quotes.desk.staff import StaffError, give_role, switch
from tests.quotes.first_run import TYPED, signs_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(client):
    client.post("/set-up/", TYPED)
    return client


def person(name="mira", role="counter"):
    user = User.objects.create_user(name, password=TYPED["password"])
    user.groups.add(Group.objects.get_or_create(name=role)[0])
    return user


def signed_in(user):
    client = Client()
    client.force_login(user)
    return client


def test_role_changes(owner):
    """The new role takes the place of the old one."""
    mira = person()
    owner.post(f"/shop/people/{mira.pk}/role/", {"role": "manager"})
    assert [g.name for g in mira.groups.all()] == ["manager"]


def test_unknown_role_is_refused(owner):
    """A role that does not exist changes nothing and is named."""
    mira = person()
    page = owner.post(f"/shop/people/{mira.pk}/role/", {"role": "king"}, follow=True)
    assert "“king” is no role" in page.content.decode()
    assert [g.name for g in mira.groups.all()] == ["counter"]


def test_switched_off_at_once(owner):
    """Somebody switched off is out of open pages at once and cannot sign in."""
    mira = person()
    browser = signed_in(mira)
    assert browser.get("/password/").status_code == 200
    owner.post(f"/shop/people/{mira.pk}/switch/")
    assert browser.get("/password/").status_code == 302
    assert not signs_in("mira", TYPED["password"])
    owner.post(f"/shop/people/{mira.pk}/switch/", {"on": "yes"})
    assert signs_in("mira", TYPED["password"])


def test_not_oneself(owner):
    """The owner cannot switch themselves off."""
    ida = User.objects.get(username="ida")
    page = owner.post(f"/shop/people/{ida.pk}/switch/", follow=True)
    assert "can&#x27;t switch yourself off" in page.content.decode()
    assert User.objects.get(pk=ida.pk).is_active


def test_last_owner_stays(owner):
    """The only owner can neither take a lesser role nor be switched off by a former colleague."""
    ida = User.objects.get(username="ida")
    with pytest.raises(StaffError, match="only owner"):
        give_role(ida.pk, "counter", ida)
    other = person("bo", "owner")
    switch(other.pk, False, ida)
    with pytest.raises(StaffError, match="only owner"):
        switch(ida.pk, False, other)
    switch(other.pk, True, ida)
    give_role(ida.pk, "counter", ida)
    assert [g.name for g in ida.groups.all()] == ["counter"]


OWNERS_ONLY = [
    ("get", "/shop/"),
    ("get", "/shop/people/"),
    ("get", "/shop/programs/"),
    ("get", "/set-up/begin/"),
    ("post", "/shop/"),
    ("post", "/shop/people/invite/"),
    ("post", "/shop/people/{pk}/role/"),
    ("post", "/shop/people/{pk}/switch/"),
    ("post", "/shop/programs/"),
    ("post", "/set-up/begin/"),
]


@pytest.mark.parametrize("role", ["counter", "manager", "staff"])
@pytest.mark.parametrize(("method", "address"), OWNERS_ONLY)
def test_owners_only(role, method, address):
    """Every other role is refused, whatever it tries, and gains nothing by trying."""
    mira = person(role=role)
    address = address.format(pk=mira.pk)
    assert getattr(signed_in(mira), method)(address, {"role": "owner"}).status_code == 403
    assert [g.name for g in mira.groups.all()] == [role]
