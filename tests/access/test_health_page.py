"""/health/ tells whether the desk answers and whether its worker and its mail get on."""

from datetime import timedelta

import pytest
from django.db import DatabaseError, connection
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from config.health import MEND
from quotes.desk.posting import send_letter
from quotes.models import Letter


def letter(minutes_ago: int) -> None:
    made = Letter.objects.create(
        cause="a test",
        to="mara@quill.example",
        subject="Quote",
        body="Dear Mara",
        message_id="<1@x>",
    )
    written = timezone.now() - timedelta(minutes=minutes_ago)
    Letter.objects.filter(pk=made.pk).update(created_at=written)


def test_well(client, db):
    """Nothing waits: 200, and nothing but ages is told."""
    page = client.get("/health/")
    assert (page.status_code, page.json()) == (
        200,
        {"well": True, "database": True, "queue_seconds": 0, "mail_seconds": 0, "problems": []},
    )


@pytest.mark.parametrize(("minutes", "status"), [(50, 200), (70, 503)])
def test_mail_that_stands_still(client, db, minutes, status):
    """Mail unsent for over an hour is trouble; the page tells how long, not whose it is."""
    letter(minutes)
    page = client.get("/health/")
    assert (page.status_code, page.json()["mail_seconds"] // 60) == (status, minutes)
    assert b"mara" not in page.content


@pytest.mark.parametrize(("minutes", "status"), [(5, 200), (15, 503)])
@pytest.mark.parametrize("asked", ["at once", "later"])
def test_worker_that_is_away(client, db, minutes, status, asked):
    """A task that could have been taken up over ten minutes ago: the worker is away."""
    send_letter.enqueue(0)
    due = timezone.now() - timedelta(minutes=minutes)
    changed = {"enqueued_at": due} if asked == "at once" else {"run_after": due}
    assert DBTaskResult.objects.update(**changed) == 1
    page = client.get("/health/")
    assert (page.status_code, page.json()["queue_seconds"] // 60) == (status, minutes)
    told = [one["words"] for one in page.json()["problems"]]
    assert told == [MEND["queue_seconds"]] * (status == 503)


def test_task_for_later_does_not_wait(client, db):
    """A task whose time has not come is not late, however long ago it was asked for."""
    send_letter.using(run_after=timezone.now() + timedelta(hours=1)).enqueue(0)
    DBTaskResult.objects.update(enqueued_at=timezone.now() - timedelta(hours=2))
    assert client.get("/health/").json()["queue_seconds"] == 0


def test_database_away(client, db):
    """The database does not answer: 503, in the page's own words."""

    def refuse(execute, sql, params, many, context):
        raise DatabaseError("the disk is gone")

    with connection.execute_wrapper(refuse):
        page = client.get("/health/")
    said = page.json()
    assert (page.status_code, said["well"], said["database"]) == (503, False, False)
    assert [one["where"] for one in said["problems"]] == ["database"]
