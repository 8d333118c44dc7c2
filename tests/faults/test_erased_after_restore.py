"""Whoever was erased stays erased, even if a copy from before is put back."""

import pytest

from tests.faults.fresh import in_one_go

MAKE = 'from quotes.models import Customer; Customer.objects.create(name="Zebulon Quartzbeck")'
ERASE = "from ordering.events import erase_customer; erase_customer(1, 'max')"
NAME = "from quotes.models import Customer; print(Customer.objects.get().name)"


@pytest.fixture
def desk(fresh, tmp_path):
    """Runs commands on a desk of its own; what they said. `desk.lose()` gives it another database."""
    here, var = [fresh("desk", migrated=True)], str(tmp_path / "var")

    def manage(*commands: tuple[str, ...]) -> str:
        return in_one_go(here[0], *commands, VAR_DIR=var)

    def lose(*, migrated: bool = False) -> None:
        here[0] = fresh("another", migrated=migrated)

    manage.lose = lose
    return manage


@pytest.mark.parametrize("lost", ["nothing", "the list", "the database"])
def test_erased_again(desk, tmp_path, lost):
    """The list beside the database or the erasures in it are enough: the older copy loses the name again."""
    copy, listed = str(tmp_path / "copy"), str(tmp_path / "var" / "erased.jsonl")
    looks = f"from pathlib import Path; assert 'Quartzbeck' not in Path({listed!r}).read_text()"
    made = [("python", MAKE), ("backup", copy), ("python", ERASE), ("python", looks)]
    back = [("restore", copy, "--overwrite"), ("python", NAME)]
    if lost == "the database":
        desk(*made)
        desk.lose()
        said = desk(*back)
    else:
        unlink = f"from pathlib import Path; Path({listed!r}).unlink()"
        said = desk(*made, *([("python", unlink)] if lost == "the list" else []), *back)
    assert "1 customers erased after it was made were erased again." in said
    assert said.splitlines()[-1] == "Erased customer"


def test_a_call_from_before_they_were_a_customer(desk, tmp_path):
    """The copy has their call and not them: they were a customer from the quote on."""
    call = "from quotes.models import *; Request.objects.create(caller='Zebulon Quartzbeck', email='z@q.example')"
    made = f"{MAKE}; from quotes.models import Contact; "
    made += "Contact.objects.create(customer_id=1, name='Zebulon', email='z@q.example')"
    copy = str(tmp_path / "copy")
    desk(("python", call), ("backup", copy), ("python", made), ("python", ERASE))
    desk.lose()
    caller = "from quotes.models import Request; print(Request.objects.get().caller)"
    said = desk(("restore", copy), ("python", caller))
    assert "1 customers erased after it was made were erased again." in said
    assert said.splitlines()[-1] == "Erased customer"


def test_who_was_merged_into_them_since(desk, tmp_path):
    """The copy has one person twice, of whom the list names the one that was kept."""
    merge = "from quotes.desk.people import merge_customers; merge_customers(1, 2, 'ann')"
    copy = str(tmp_path / "copy")
    desk(("python", MAKE), ("python", MAKE), ("backup", copy), ("python", merge), ("python", ERASE))
    desk.lose()
    names = (
        "from quotes.models import Customer; print([one.name for one in Customer.objects.all()])"
    )
    said = desk(("restore", copy), ("python", names))
    assert said.splitlines()[-1] == "['Erased customer', 'Erased customer']"
    assert "Everything agrees." in said


def test_another_with_the_same_number(desk, tmp_path):
    """A number alone erases nobody: another customer who has it keeps their name."""
    desk(("python", MAKE), ("python", ERASE))
    desk.lose(migrated=True)
    copy = str(tmp_path / "copy")
    said = desk(
        ("python", MAKE), ("backup", copy), ("restore", copy, "--overwrite"), ("python", NAME)
    )
    assert "erased again" not in said
    assert said.splitlines()[-1] == "Zebulon Quartzbeck"
