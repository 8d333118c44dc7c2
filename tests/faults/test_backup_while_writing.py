"""Copies taken while two clerks write without a pause: each is one moment, whole and sound."""

import json

from tests.faults.fresh import ENGINE, asked, run

# How many clerks, copies, and orders between one copy and the next.
CLERKS, COPIES, ORDERS = 2, 2, 10


def test_copies_of_one_moment(fresh, tmp_path):
    """What was acknowledged before a copy began is in it, what began after it isn't; nothing is halved."""
    said = (str(tmp_path), str(CLERKS), str(COPIES), str(ORDERS))
    clerks = run(fresh(migrated=True), "-m", "tests.faults.writers", *said)
    assert clerks.returncode == 0, clerks.stderr
    told = json.loads(clerks.stdout.splitlines()[-1])
    for at, (began, ended) in enumerate(told["copies"]):
        copy = fresh(f"restored_{at}")
        done = run(copy, "manage.py", "restore", str(tmp_path / f"copy-{at}"))
        assert (done.returncode, done.stderr) == (0, ""), done.stdout
        assert "Everything agrees." in done.stdout
        held = {pk for (pk,) in asked(copy, "SELECT id FROM ordering_order")}
        before = {pk for pk, _, acknowledged in told["orders"] if acknowledged < began}
        after = {pk for pk, start, _ in told["orders"] if start > ended}
        print(
            f"{ENGINE}, copy {at}: {len(held)} of {len(told['orders'])} orders, {len(before - held)} lost"
        )
        assert (before - held, after & held) == (set(), set())
    # Clerks went on while copies were made, or this has shown nothing.
    first, last = told["copies"][0][0], told["copies"][-1][1]
    assert any(first < acknowledged < last for _, _, acknowledged in told["orders"])
