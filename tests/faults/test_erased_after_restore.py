"""Whoever was erased stays erased, even if a copy from before is put back."""

import pytest

from tests.faults.fresh import run

MAKE = 'from quotes.models import Customer; Customer.objects.create(name="Zebulon Quartzbeck")'
ERASE = "from ordering.events import erase_customer; erase_customer(1, 'max')"
NAME = "from quotes.models import Customer; print(Customer.objects.get().name)"


@pytest.fixture
def desk(fresh, tmp_path):
    """Runs a command on a desk of its own; what it said. `desk.lose()` gives it an empty database."""
    here = [fresh("desk", migrated=True)]

    def manage(*arguments: str) -> str:
        done = run(here[0], "manage.py", *arguments, VAR_DIR=str(tmp_path / "var"))
        assert done.returncode == 0, done.stderr
        return done.stdout

    def lose() -> None:
        here[0] = fresh("another")

    manage.lose = lose
    return manage


def python(desk, code: str) -> str:
    return desk("shell", "--verbosity", "0", "--command", code)


@pytest.mark.parametrize("lost", ["nothing", "the list", "the database"])
def test_erased_again(desk, tmp_path, lost):
    """The list beside the database or the erasures in it are enough: the older copy loses the name again."""
    python(desk, MAKE)
    desk("backup", str(tmp_path / "copy"))
    python(desk, ERASE)
    assert "Quartzbeck" not in (tmp_path / "var" / "erased.jsonl").read_text()
    if lost == "the list":
        (tmp_path / "var" / "erased.jsonl").unlink()
    if lost == "the database":
        desk.lose()
    said = desk("restore", str(tmp_path / "copy"), "--overwrite")
    assert "1 customers erased after it was made were erased again." in said
    assert python(desk, NAME).strip() == "Erased customer"


def test_another_with_the_same_number(desk, tmp_path):
    """A number alone erases nobody: another customer who has it keeps their name."""
    python(desk, MAKE)
    python(desk, ERASE)
    desk.lose()
    desk("migrate", "--verbosity", "0")
    python(desk, MAKE)
    desk("backup", str(tmp_path / "copy"))
    said = desk("restore", str(tmp_path / "copy"), "--overwrite")
    assert "erased again" not in said
    assert python(desk, NAME).strip() == "Zebulon Quartzbeck"
