"""manage.py import_table reads a workbook, says what it means, and keeps it as a draft or puts it in force."""

from datetime import date, datetime

import pytest
import time_machine
from django.core.management import call_command
from django.utils.timezone import get_default_timezone

from sizing import lookup
from sizing.management.refused import Refused
from sizing.models import Family, Revision
from tests.faults.fresh import fresh_database
from tests.faults.fresh import run as run_apart
from tests.sizing.sheets import cell, workbook
from tests.sizing.stored import dearer, in_force, wren

pytestmark = pytest.mark.django_db


@pytest.fixture
def file(tmp_path):
    """Writes a workbook and gives its path."""

    def write(spoil=None, shape=None):
        path = tmp_path / "wren.xlsx"
        path.write_bytes(workbook(spoil, shape))
        return str(path)

    return write


def run(capsys, *args):
    call_command("import_table", *args)
    return capsys.readouterr().out.splitlines()


def test_draft(file, capsys):
    """Without --publish it is kept as a draft, and says how to go on."""
    assert run(capsys, file()) == [
        "wren-liner: Wren liner of Wren Hill Shop; 2 rows, 3 parts, 1 not offered.",
        "The first table of this family: 2 rows; each price is for a piece.",
        "wren-liner revision 1 is kept as a draft; look at it on the Size tables page, or import it with --publish.",
    ]
    assert Revision.objects.get().in_force_from is None


@time_machine.travel(datetime(2026, 2, 1, 12, tzinfo=get_default_timezone()))
def test_publish(file, capsys):
    """With --publish it is in force from today."""
    assert (
        run(capsys, file(), "--publish")[-1] == "wren-liner revision 1 is in force from 2026-02-01."
    )
    assert lookup.table_of(lookup.in_force("wren-liner")) == wren()


def test_from(file, capsys):
    """With --from it counts from that day."""
    run(capsys, file(), "--publish", "--from", "2026-03-02")
    assert Revision.objects.get().in_force_from == date(2026, 3, 2)


def test_difference(file, capsys):
    """Against a table in force it says what changes."""
    in_force(wren())
    lines = run(capsys, file(dearer))
    assert lines[1] == "1 part dearer, by 3.15 USD (10.0 %)."
    assert lines[2].startswith("wren-liner revision 2 is kept as a draft")


def test_warnings(file, capsys):
    """Warnings are printed and kept with the draft."""
    lines = run(capsys, file(shape=cell("Parts!D3", 11)))
    assert lines[1].startswith(
        "Note: sheet Parts, cell D3: the bands of light (to 10 lb) and heavy"
    )
    assert Revision.objects.get().warnings == [lines[1].removeprefix("Note: ")]


def test_same_again(file, capsys):
    """A table that says the same as the one in force is not stored again."""
    in_force(wren())
    lines = run(capsys, file(), "--publish")
    assert lines[1:] == [
        "Nothing changes.",
        "wren-liner revision 1 says the same, in force from 2026-01-05; nothing is stored.",
    ]
    assert Revision.objects.count() == 1


def refusal(*args):
    with pytest.raises(Refused) as refused:
        call_command("import_table", *args)
    assert refused.value.returncode == 2
    assert not Family.objects.exists()
    return str(refused.value)


def test_refused(file):
    """A mistake is one line with file, sheet and cell, and nothing is stored."""
    path = file(shape=cell("Parts!B3", "=A3"))
    assert refusal(path, "--publish") == (
        f"{path}: sheet Parts, cell B3: holds the formula “=A3” where a size belongs; "
        "put its value there (copy, paste values)."
    )


def test_several_refused(file):
    """Of several mistakes the first is said, with the number of the others."""

    def shape(book):
        book["Parts"]["B3"] = book["Parts"]["B4"] = book["Parts"]["H2"] = "wide"

    assert refusal(file(shape=shape)).endswith("(and 2 more)")


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        (["--from", "2026-03-02"], "--from goes with --publish only"),
        (["--publish", "--from", "2.3.2026"], "--from 2.3.2026 is no date; type it as YYYY-MM-DD."),
    ],
)
def test_options(file, options, sentence):
    """Options that make no sense are refused before anything is read."""
    assert sentence in refusal(file(), *options)


def test_day_before_the_present_one(file, capsys):
    """A day before the table in force is refused, and not even a draft stays."""
    in_force(wren(), date(2026, 3, 2))
    with pytest.raises(Refused, match="choose that day or a later one"):
        call_command("import_table", file(dearer), "--publish", "--from", "2026-01-05")
    assert Revision.objects.count() == 1


def test_exit_status(tmp_path):
    """From the shell: status 2, one line on standard error, nothing on standard output."""
    path = tmp_path / "a.csv"
    path.write_text("glass,opening\n")
    with fresh_database(tmp_path, "desk", migrated=True) as database:
        done = run_apart(database, "manage.py", "import_table", str(path))
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.count("\n") == 1
    assert f"{path}: the file is no .xlsx workbook" in done.stderr
