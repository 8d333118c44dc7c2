"""The setup page stores the shop and its owner, signs the owner in, and refuses what is wrong."""

import re

import pytest
from django.contrib.auth.models import Group, User

from quotes.desk.shop import Account, SetUpError, set_up
from quotes.lists.shop import the_shop
from quotes.models import Shop
from tests.quotes.first_run import TYPED

pytestmark = pytest.mark.django_db


def test_shop_and_owner(client):
    """One post: the shop's facts are kept, the first user is its owner and is signed in."""
    response = client.post("/set-up/", TYPED)
    assert response["Location"] == "/set-up/begin/"
    assert the_shop().lines == (
        "Wherry Lane Sash", "3 Wherry Lane, Ashby, VT 05998", "802 555 0101", "desk@wherry.example",
    )  # fmt: skip
    assert (the_shop().region, the_shop().unit, the_shop().currency) == ("VT", "in", "USD")
    owner = User.objects.get()
    assert owner.get_full_name() == "Ida Fenn"
    assert [g.name for g in owner.groups.all()] == ["owner"]
    assert client.get("/shop/people/").status_code == 200


def test_no_right_in_the_admin(client):
    """The first user is no superuser and needs no other place than the desk's own pages."""
    client.post("/set-up/", TYPED)
    assert not User.objects.filter(is_superuser=True).exists()
    assert set(Group.objects.values_list("name", flat=True)) >= {"counter", "manager", "staff"}


BAD = [
    ("name", "", "quotes and mails begin with it"),
    ("email", "desk at wherry", "no e-mail address"),
    ("region", "ZZ", "no part of US"),
    ("currency", "QQQ", "Currency: there is no such choice"),
    ("country", "??", "“??” is no country"),
    ("own_email", "", "Type your e-mail"),
    ("username", "", "Type a name to sign in with"),
    ("username", "ida fenn", "Only letters"),
    ("again", "slate and chalk 89", "two passwords differ"),
]


@pytest.mark.parametrize(("field", "text", "sentence"), BAD)
def test_refused_and_nothing_lost(client, field, text, sentence):
    """What is wrong is said at the top and by the field; the rest stays typed and nothing is stored."""
    response = client.post("/set-up/", TYPED | {field: text})
    page = response.content.decode()
    assert response.status_code == 422
    assert page.count(sentence) == 2
    assert f'href="#id_{field}"' in page
    kept = "3 Wherry Lane, Ashby, VT 05998"
    assert kept in page
    assert not User.objects.exists() and not Shop.objects.exists()


@pytest.mark.parametrize("password", ["short1", "password", "4711471147", "ida@wherry.example"])
def test_password_is_checked(client, password):
    """A password that is short, common, digits only or like the name is refused, and not shown again."""
    response = client.post("/set-up/", TYPED | {"password": password, "again": password})
    assert response.status_code == 422
    boxes = re.findall(r'<input type="password"[^>]*>', response.content.decode())
    assert len(boxes) == 2 and not any("value" in box for box in boxes)
    assert not User.objects.exists()


def test_second_first_user_is_refused():
    """Of two first users one is stored; the other is told to sign in, and their shop is not kept."""
    account = Account("Ida Fenn", "ida", "ida@wherry.example", "slate and chalk 88")
    set_up({"name": "Wherry Lane Sash"}, account)
    with pytest.raises(SetUpError, match="sign in"):
        set_up({"name": "Other"}, Account("Bo", "bo", "bo@wherry.example", "slate and chalk 88"))
    assert the_shop().name == "Wherry Lane Sash"
    assert User.objects.count() == 1
