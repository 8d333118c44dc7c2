"""The code besides the password: taken into use, asked for, used once, replaced by a recovery code."""

import re
from datetime import UTC, datetime

import pytest
import time_machine
from django.apps import apps
from django.test import Client
from django_otp.plugins.otp_static.models import StaticToken

from quotes.models import CodeMaker
from tests.access.signing_in import PASSWORD, is_in, person, set_up_code, shown_code, sign_in


@pytest.fixture
def clock():
    with time_machine.travel(datetime(2027, 3, 1, 9, tzinfo=UTC), tick=False) as clock:
        yield clock


@pytest.fixture
def coded(clock, db):
    """(somebody signed in with a code, its secret, recovery codes), a minute after it was set up."""
    user, client = person(), Client()
    client.force_login(user)
    secret, recovery = set_up_code(client)
    clock.shift(60)
    return user, secret, recovery


def half_in() -> Client:
    """A browser in which the right password was typed."""
    client = Client()
    assert sign_in(client).url == "/sign-in/code/"
    return client


def give(client: Client, code: str):
    return client.post("/sign-in/code/", {"code": code})


def test_set_up(clock, db):
    """The page shows the secret as a picture and in words; a first code turns it on, with ten recovery codes."""
    client = Client()
    client.force_login(person())
    page = client.get("/your-sign-in/code/").content.decode()
    assert 'src="data:image/svg+xml' in page and "QR code" in page
    assert not CodeMaker.objects.exists()
    _, recovery = set_up_code(client)
    assert len(set(recovery)) == 10
    assert "10 recovery codes left" in client.get("/your-sign-in/").content.decode()


def test_wrong_first_code(clock, db):
    """A wrong first code turns nothing on, and the same secret stays on the page."""
    client = Client()
    client.force_login(person())
    pages = [
        client.get("/your-sign-in/code/"),
        client.post("/your-sign-in/code/", {"code": "000000"}),
    ]
    assert pages[1].status_code == 422 and not CodeMaker.objects.exists()
    secrets = {re.search(r"<code>([A-Z2-7 ]+)</code>", page.content.decode())[1] for page in pages}
    assert len(secrets) == 1


def test_asked_for(coded):
    """The password alone opens nothing; with the app's code one is in, where one wanted to go."""
    client = Client()
    assert sign_in(client, QUERY_STRING="next=/orders/").url == "/sign-in/code/"
    assert not is_in(client)
    client.post(
        "/sign-in/", {"username": "counter-person", "password": PASSWORD, "next": "/orders/"}
    )
    assert give(client, shown_code(coded[1])).url == "/orders/"
    assert is_in(client)


def test_used_once(coded):
    """A code that was used is refused, in another browser too."""
    code = shown_code(coded[1])
    first, second = half_in(), half_in()
    assert give(first, code).status_code == 302
    assert (give(second, code).status_code, is_in(second)) == (422, False)


def test_guessing_is_slowed(coded, clock):
    """After a wrong code the right one has to wait, twice as long after each further one."""
    client = half_in()
    give(client, "000000")
    assert give(client, shown_code(coded[1])).status_code == 422
    clock.shift(30)
    assert give(client, shown_code(coded[1])).status_code == 302


def test_five_wrong_codes(coded, clock):
    """After five wrong codes the password has to be typed anew."""
    client = half_in()
    answers = []
    for _ in range(5):
        clock.shift(40)
        answers.append(give(client, "000000").status_code)
    assert answers == [422] * 4 + [302]
    clock.shift(60)
    assert give(client, shown_code(coded[1])).url == "/sign-in/"


def test_half_a_sign_in_ends(coded, clock):
    """Five minutes after the password, or once it was changed, the code opens nothing."""
    late, changed = half_in(), half_in()
    user, secret, _ = coded
    user.set_password("another one 4712")
    user.save()
    assert give(changed, shown_code(secret)).url == "/sign-in/"
    clock.shift(301)
    assert give(late, shown_code(secret)).url == "/sign-in/"
    assert not is_in(changed) and not is_in(late)


def test_recovery_code(coded):
    """Each recovery code signs in once, however it is written; then it is used up."""
    code = coded[2][0]
    assert give(half_in(), code.upper().replace("-", " ")).status_code == 302
    client = half_in()
    assert (give(client, code).status_code, is_in(client)) == (422, False)
    assert StaticToken.objects.count() == 9


def test_nothing_of_it_is_stored(coded):
    """Whoever reads the database makes no code from it: neither the secret nor a recovery code stands there."""
    user, secret, recovery = coded
    key = CodeMaker.objects.get(user=user)
    assert key.bin_key.hex() != key.key
    held = " ".join(
        str(value)
        for model in apps.get_models()
        for row in model._base_manager.values_list()
        for value in row
    ).lower()
    for code in recovery:
        assert code not in held and code.replace("-", "") not in held
    assert key.bin_key.hex() not in held and secret.replace(" ", "").lower() not in held


def test_new_recovery_codes(coded):
    """New recovery codes take the place of the old ones."""
    client = half_in()
    give(client, shown_code(coded[1]))
    page = client.post("/your-sign-in/recovery/").content.decode()
    new = re.findall(r"<code>([a-z2-7-]{19})</code>", page)
    assert len(new) == 10 and not set(new) & set(coded[2])
    assert give(half_in(), coded[2][0]).status_code == 422


def test_turned_off(coded):
    """Turned off, the password alone signs in again."""
    client = half_in()
    give(client, shown_code(coded[1]))
    client.post("/your-sign-in/code/off/")
    assert sign_in(Client()).url == "/"
    assert not StaticToken.objects.exists()


def test_owner_takes_it_off(coded, caplog):
    """For a lost phone the owner takes the code off: the log says who for whom, and open sign-ins end."""
    user, secret, _ = coded
    theirs = half_in()
    give(theirs, shown_code(secret))
    owner = type(user).objects.get(username="owner-person")
    client = Client()
    client.force_login(owner)
    with caplog.at_level("INFO", "desk.sign_ins"):
        client.post(f"/shop/people/{user.pk}/code-off/")
    facts = [record.facts for record in caplog.records if "removed" in record.message]
    assert facts == [{"user": user.pk, "by": owner.pk}]
    assert not is_in(theirs)
    assert sign_in(Client()).url == "/"


@pytest.mark.parametrize(
    ("rule", "asked"),
    [("", set()), ("owner", {"owner"}), ("manager", {"owner", "manager"})],
)
def test_shop_asks_for_it(rule, asked, clock, db):
    """Whoever's role needs a code is led to setting it up, from every page, and goes on afterwards."""
    owner = person("owner")
    client = Client()
    client.force_login(owner)
    client.post("/shop/rules/", {"code_required": rule, "idle_minutes": "120", "keep_months": "24"})
    led = set()
    for role in ("staff", "counter", "manager", "owner"):
        theirs = Client()
        theirs.force_login(type(owner).objects.get(username=f"{role}-person"))
        page = theirs.get("/orders/")
        if page.status_code == 302 and page.url == "/your-sign-in/code/":
            led.add(role)
            set_up_code(theirs)
            assert theirs.get("/orders/").status_code == 200
    assert led == asked


def test_open_sign_ins_follow_the_rule(clock, db):
    """Once the shop asks for codes, sign-ins without one end; one's own is led to setting it up."""
    owner, theirs, client = person("owner"), Client(), Client()
    theirs.force_login(type(owner).objects.get(username="manager-person"))
    client.force_login(owner)
    client.post(
        "/shop/rules/", {"code_required": "manager", "idle_minutes": "120", "keep_months": ""}
    )
    assert theirs.get("/").url.startswith("/sign-in/")
    assert client.get("/").url == "/your-sign-in/code/"


def test_not_off_where_the_shop_asks(clock, db):
    """A code that the shop asks for cannot be turned off by oneself."""
    client = Client()
    client.force_login(person("owner"))
    set_up_code(client)
    client.post(
        "/shop/rules/", {"code_required": "owner", "idle_minutes": "120", "keep_months": ""}
    )
    client.post("/your-sign-in/code/off/")
    assert CodeMaker.objects.filter(confirmed=True).count() == 1
