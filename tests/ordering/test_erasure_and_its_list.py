"""An erasure and the list that outlives the database: both are there, or neither."""

import json
import multiprocessing

import pytest
from django.db import connection
from django.test import Client

from ordering.events import erase_customer
from ordering.events.erasing import listed
from quotes.models import Customer, Erasure
from tests.ordering.placed import user


@pytest.fixture
def folder(settings, tmp_path):
    settings.VAR_DIR = tmp_path / "var"
    return settings.VAR_DIR


def new_customer(name: str = "Zebulon Quartzbeck") -> Customer:
    return Customer.objects.create(name=name)


@pytest.mark.django_db(transaction=True)
def test_nothing_is_erased_without_its_list(folder):
    """Where the list cannot be written the page says that nothing was saved, and nothing was."""
    person = new_customer()
    folder.write_text("a file is in the way of the folder")
    client = Client(raise_request_exception=False)
    client.force_login(user("max", "manager"))
    answer = client.post(f"/customers/{person.pk}/erase/", {"sure": "yes"})
    assert answer.status_code == 500
    assert "nothing of it was saved" in answer.content.decode()
    person.refresh_from_db()
    assert person.name == "Zebulon Quartzbeck"
    assert not Erasure.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_listed_once_it_is_erased(folder):
    """The list names the customer's number, who erased and when; nothing else is left in the folder."""
    person = new_customer()
    erase_customer(person.pk, "max")
    (line,) = map(json.loads, (folder / "erased.jsonl").read_text().splitlines())
    assert (line["customer"], line["by"]) == (person.pk, "max")
    assert {file.name for file in folder.iterdir()} == {"erased.jsonl", "erased.lock"}


@pytest.mark.django_db
def test_not_listed_if_it_is_not_erased(folder):
    """An erasing that is refused leaves the list as it was."""
    erase_customer(new_customer().pk, "max")
    before = listed()
    with pytest.raises(Customer.DoesNotExist):
        erase_customer(0, "max")
    assert listed() == before


def _erase_one(pk: int, ready) -> None:
    connection.close()
    ready.wait(20)
    erase_customer(pk, "max")


@pytest.mark.django_db(transaction=True)
def test_many_at_once_are_all_listed(folder):
    """Those erased by several processes at the same moment all come into the list."""
    keys = [new_customer(f"Caller {n}").pk for n in range(6)]
    connection.close()
    fork = multiprocessing.get_context("fork")
    ready = fork.Barrier(len(keys))
    erasing = [fork.Process(target=_erase_one, args=(pk, ready)) for pk in keys]
    for one in erasing:
        one.start()
    for one in erasing:
        one.join(60)
    assert [one.exitcode for one in erasing] == [0] * len(keys)
    assert sorted(listed()) == keys
