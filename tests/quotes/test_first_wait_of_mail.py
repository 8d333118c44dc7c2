"""How long mail waits before it is tried again, as the installation says it: never without end, never not at all."""

from datetime import timedelta

import pytest

from quotes.models import Letter
from quotes.post import LONGEST_WAIT, check_first_wait, due, wait_after


@pytest.mark.parametrize("seconds", [0, -5, 1e-6, 0.01, 1, 300, 1e9])
def test_a_sweep_ends(seconds, settings, db):
    """Whatever is set, what is due is worked out and asked for."""
    settings.POST_FIRST_WAIT = seconds
    assert list(due(Letter.objects)) == []
    assert wait_after(1_000) <= LONGEST_WAIT


@pytest.mark.parametrize("seconds", [0, -5])
def test_none_is_refused(seconds, settings):
    """Without a wait two workers could send the same mail: Django's check of the settings says so, with the way out."""
    settings.POST_FIRST_WAIT = seconds
    (told,) = check_first_wait()
    assert "mail would be sent twice" in told.msg and "300" in told.hint


def test_what_is_usual_is_taken(settings):
    """Five minutes unless something is set."""
    assert check_first_wait() == []
    assert wait_after(1) == timedelta(minutes=5)
