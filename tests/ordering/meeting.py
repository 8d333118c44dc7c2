"""Two writers that meet on a row which both need, on a server where each has a connection of its own.

A third connection holds the row for which both wait first, so that each has what it takes before that.
"""

import threading
import time

import pytest
from django.db import connection, transaction

from ordering.events import ErasingError, PlacingError
from ordering.states import NotAllowed
from quotes.desk.accepting import NotOpenError
from quotes.desk.drafts import QuoteError
from quotes.desk.requests import RequestError, StaleError
from quotes.desk.schedules import ScheduleError

TWO_AT_ONCE = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(
        connection.vendor != "postgresql", reason="of SQLite one writer has all of the database"
    ),
]
# What one of the two may be told once the other is done.
REFUSED = (
    NotAllowed,
    ErasingError,
    PlacingError,
    NotOpenError,
    QuoteError,
    RequestError,
    StaleError,
    ScheduleError,
)
WAITING = """SELECT count(*) FROM pg_stat_activity
             WHERE datname = current_database() AND wait_event_type = 'Lock'"""


def _writers_waiting() -> int:
    with connection.cursor() as cursor:
        # Of one transaction the server shows one picture, unless it is asked for another.
        cursor.execute("SELECT pg_stat_clear_snapshot()")
        cursor.execute(WAITING)
        return cursor.fetchone()[0]


def meet(row, first, second) -> None:
    """Let both begin while `row` is held, `first` before `second`, then let the row go. Raises what they raise."""
    failed = []

    def run(act) -> None:
        try:
            act()
        except REFUSED:
            pass
        except Exception as problem:
            failed.append(problem)
        finally:
            connection.close()

    writers = [threading.Thread(target=run, args=(act,)) for act in (first, second)]
    with transaction.atomic():
        type(row).objects.select_for_update().get(pk=row.pk)
        for number, writer in enumerate(writers, 1):
            writer.start()
            until = time.monotonic() + 30
            while _writers_waiting() < number:
                assert time.monotonic() < until, f"writer {number} never came to the row: {failed}"
                time.sleep(0.01)
    for writer in writers:
        writer.join(60)
    assert failed == []
