"""The owner invites people by mail; the link in it makes one user, once, in the role that was meant."""

import re
from datetime import timedelta

import pytest
from django.contrib.auth.models import User
from django.core import mail
from django.test import Client
from django.utils import timezone

from quotes.desk.posting import send_letter
from quotes.models import Invitation, Letter
from tests.quotes.first_run import TYPED

pytestmark = pytest.mark.django_db

JOINING = {
    "person": "Bram Oakley",
    "own_email": "bram@wherry.example",
    "username": "bram",
    "password": "ash and chalk 99",
    "again": "ash and chalk 99",
}


@pytest.fixture
def owner(client):
    client.post("/set-up/", TYPED)
    return client


@pytest.fixture
def address(owner):
    """The path of the link in the mail that reached Bram."""
    typed = {"name": "Bram Oakley", "email": "bram@wherry.example", "role": "manager"}
    assert owner.post("/shop/people/invite/", typed)["Location"] == "/shop/people/"
    send_letter.func(Letter.objects.get().pk)
    (message,) = mail.outbox
    assert message.to == ["bram@wherry.example"]
    assert message.subject == "Join the desk of Wherry Lane Sash"
    return re.search(r"https?://[^/]+(/join/\S+)", message.body).group(1)


def test_joins_in_the_role(address):
    """Without a sign-in the link opens; who joins is signed in, in the role the owner chose."""
    visitor = Client()
    assert b"Wherry Lane Sash" in visitor.get(address).content
    assert visitor.post(address, JOINING)["Location"] == "/"
    bram = User.objects.get(username="bram")
    assert [g.name for g in bram.groups.all()] == ["manager"]
    assert visitor.get("/password/").status_code == 200


def test_link_works_once(address):
    """A second use of the link makes nobody."""
    Client().post(address, JOINING)
    again = Client().post(address, JOINING | {"username": "other"})
    assert again.status_code == 404
    assert User.objects.count() == 2


def test_link_expires(address):
    """After three days the link is closed."""
    Invitation.objects.update(expires_at=timezone.now() - timedelta(seconds=1))
    assert Client().get(address).status_code == 404
    assert Client().post(address, JOINING).status_code == 404


def test_withdrawn(owner, address):
    """A withdrawn invitation's link is dead at once."""
    pk = Invitation.objects.get().pk
    owner.post(f"/shop/people/invited/{pk}/withdraw/")
    assert Client().get(address).status_code == 404


def test_wrong_link():
    """A link that nobody sent opens nothing."""
    assert Client().get("/join/abc/").status_code == 404


def test_token_is_not_in_the_row(address):
    """The row keeps only a hash: what stands in the link is not in it."""
    row = Invitation.objects.get()
    assert address.strip("/").rpartition("/")[2] not in (row.nonce, row.token_hash)


def test_typed_role_does_not_count(address):
    """Whoever joins cannot choose another role than the one given."""
    Client().post(address, JOINING | {"role": "owner"})
    assert [g.name for g in User.objects.get(username="bram").groups.all()] == ["manager"]


def test_name_taken(address):
    """A sign-in name that somebody has, in whatever case, is refused with what to do."""
    page = Client().post(address, JOINING | {"username": "IDA"})
    assert page.status_code == 422
    assert "choose another sign-in name" in page.content.decode()


def test_invited_again(owner, address):
    """A second invitation of the same address closes the first one's link."""
    typed = {"name": "Bram Oakley", "email": "BRAM@wherry.example", "role": "staff"}
    owner.post("/shop/people/invite/", typed)
    assert Client().get(address).status_code == 404
    assert len([i for i in Invitation.objects.all() if i.is_open]) == 1


def test_somebody_who_is_there(owner):
    """Somebody who can sign in already is not invited again."""
    page = owner.post(
        "/shop/people/invite/", {"name": "Ida", "email": "ida@wherry.example", "role": "staff"}
    )
    assert page.status_code == 422
    assert "change their role instead" in page.content.decode()
