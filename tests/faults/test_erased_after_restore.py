"""Whoever was erased stays erased, even if a copy from before is put back."""

import pytest

from tests.faults.fresh import in_one_go, run

MAKE = 'from quotes.models import Customer; Customer.objects.create(name="Zebulon Quartzbeck")'
ERASE = "from ordering.events import erase_customer; erase_customer(1, 'max')"
NAME = "from quotes.models import Customer; print(Customer.objects.get().name)"


@pytest.fixture
def desk(fresh, tmp_path):
    """Runs a command on a desk of its own; what it said. `desk.first(…)` runs several before it, and
    `desk.lose()` gives it an empty database."""
    here, var = [fresh("desk", migrated=True)], str(tmp_path / "var")

    def manage(*arguments: str) -> str:
        done = run(here[0], "manage.py", *arguments, VAR_DIR=var)
        assert done.returncode == 0, done.stderr
        return done.stdout

    def lose(*, migrated: bool = False) -> None:
        here[0] = fresh("another", migrated=migrated)

    manage.lose = lose
    manage.first = lambda *commands: in_one_go(here[0], *commands, VAR_DIR=var)
    return manage


@pytest.mark.parametrize("lost", ["nothing", "the list", "the database"])
def test_erased_again(desk, tmp_path, lost):
    """The list beside the database or the erasures in it are enough: the older copy loses the name again."""
    desk.first(("python", MAKE), ("backup", str(tmp_path / "copy")), ("python", ERASE))
    assert "Quartzbeck" not in (tmp_path / "var" / "erased.jsonl").read_text()
    if lost == "the list":
        (tmp_path / "var" / "erased.jsonl").unlink()
    if lost == "the database":
        desk.lose()
    said = desk("restore", str(tmp_path / "copy"), "--overwrite")
    assert "1 customers erased after it was made were erased again." in said
    assert desk.first(("python", NAME)).strip() == "Erased customer"


def test_another_with_the_same_number(desk, tmp_path):
    """A number alone erases nobody: another customer who has it keeps their name."""
    desk.first(("python", MAKE), ("python", ERASE))
    desk.lose(migrated=True)
    desk.first(("python", MAKE), ("backup", str(tmp_path / "copy")))
    said = desk("restore", str(tmp_path / "copy"), "--overwrite")
    assert "erased again" not in said
    assert desk.first(("python", NAME)).strip() == "Zebulon Quartzbeck"
