"""manage.py demo: the invented shop and its five worked requests."""

from io import StringIO

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command

from quotes.desk.requests import save_request
from quotes.lists.requests import said_of
from quotes.models import Opening, Request


def demo() -> str:
    out = StringIO()
    call_command("demo", stdout=out)
    return out.getvalue()


@pytest.fixture(autouse=True)
def quick_passwords(settings):
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def printed(db) -> str:
    return demo()


def test_five_kinds_of_answer(printed):
    """A part, a slip found, backwards from the old part, a cottage split, one question."""
    answers = [o.answer for o in Opening.objects.order_by("request_id")]
    assert [a["outcome"] for a in answers] == ["part", "part", "part", "special", "ask"]
    assert "only the visible glass is measured" in answers[1]["text"]
    assert "long_point" in Opening.objects.order_by("request_id")[2].said
    assert (answers[3]["reason"], answers[4]["ask"]) == ("unequal_split", "sash_height")


def test_print_says_what_the_desk_says(printed):
    """Each request is printed with its caller's words, the answer and how sure it is."""
    assert printed.count("   caller  ") == printed.count("   desk    ") == 5
    for answer in Opening.objects.values_list("answer__part_number", flat=True):
        assert answer is None or f"Part {answer}" in printed
    assert printed.count(" %)") == 5


def test_second_run_adds_nothing(printed):
    """Run again, the demo is the same demo."""
    versions, people = list(Request.objects.values_list("pk", "version")), User.objects.count()
    demo()
    assert list(Request.objects.values_list("pk", "version")) == versions
    assert User.objects.count() == people


def test_changed_request_stays_changed(printed):
    """A request that somebody went on with is not set back."""
    request = Request.objects.order_by("pk").first()
    said = said_of(request)
    save_request(
        type(said)(**{**vars(said), "caller": "Someone else"}), by="x", pk=request.pk, version=1
    )
    demo()
    assert Request.objects.get(pk=request.pk).caller == "Someone else"


def test_printed_password_signs_in(printed, client):
    """The printed password is the one that works."""
    (password,) = [line.split()[1] for line in printed.splitlines() if line.startswith("   counter")]  # fmt: skip
    assert client.login(username="counter", password=password)


def test_database_in_use_is_left_alone(db):
    """A database with people of its own is refused, and nothing is added to it."""
    User.objects.create_user("hanna")
    with pytest.raises(CommandError, match="give the demo one of its own") as refused:
        demo()
    assert refused.value.returncode == 2
    assert not Request.objects.exists()
