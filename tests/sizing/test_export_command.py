"""manage.py export_table gives back the workbook of the table in force."""

import pytest
from django.core.management import call_command

from sizing import tables
from sizing.management.refused import Refused
from sizing.workbook import read_workbook
from tests.sizing.stored import dearer, in_force, wren

pytestmark = pytest.mark.django_db


def test_comes_back(tmp_path, capsys):
    """The file reads back as the table in force, whatever the draft says."""
    in_force(wren())
    tables.store_draft(wren(dearer), "b")
    path = tmp_path / "out.xlsx"
    call_command("export_table", "--family", "wren-liner", str(path))
    assert read_workbook(path)[0] == wren()
    assert capsys.readouterr().out == f"wren-liner revision 1 is written to {path}.\n"


def refusal(*args):
    with pytest.raises(Refused) as refused:
        call_command("export_table", *args)
    assert refused.value.returncode == 2
    return str(refused.value)


def test_unknown_family(tmp_path):
    """An unknown family is one sentence with those there are, and no file."""
    in_force(wren())
    path = tmp_path / "out.xlsx"
    assert (
        refusal("--family", "robin", str(path)) == "No family “robin” here; there are wren-liner."
    )
    assert not path.exists()


def test_no_folder(tmp_path):
    """A file that can't be written is one sentence."""
    in_force(wren())
    path = tmp_path / "none" / "out.xlsx"
    assert refusal("--family", "wren-liner", str(path)) == (
        f"{path} can't be written (No such file or directory); check its folder."
    )


def test_a_file_that_is_there_stays(tmp_path):
    """It may be what somebody has been writing into; who wants it replaced says so."""
    in_force(wren())
    path = tmp_path / "mine.xlsx"
    path.write_text("mine")
    assert refusal("--family", "wren-liner", str(path)) == (
        f"{path} is there already: name a new file, or say --overwrite if this one is to take its place."
    )
    assert path.read_text() == "mine"
    call_command("export_table", "--family", "wren-liner", "--overwrite", str(path))
    assert read_workbook(path)[0] == wren()
