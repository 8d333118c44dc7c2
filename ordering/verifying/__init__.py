"""Looks whether what is stored agrees with itself: one sentence for each thing that does not.

The event log is the truth; copies of it, sums, notices and part numbers have to follow from it. Reads
only, and all of one moment, so it can run beside the desk and on a restored backup.
"""

from __future__ import annotations

from collections.abc import Iterator

from django.db.models import Exists, OuterRef

from ordering.verifying.logs import states
from ordering.verifying.moment import one_moment
from ordering.verifying.parts import part_numbers
from ordering.verifying.pointing import links, orphans
from ordering.verifying.sums import totals
from ordering.verifying.told import notices
from quotes import worklist
from quotes.lists import letters
from quotes.models import Acceptance, Quote


def findings() -> Iterator[str]:
    """Everything that is wrong, one sentence each."""
    with one_moment():
        yield from links()
        yield from orphans()
        yield from states()
        yield from totals()
        yield from notices()
        yield from part_numbers()
        yield from worklist.hidden()
        yield from letters.astray()
        yield from _acceptances()


def _acceptances() -> Iterator[str]:
    """Whether a quote is marked as accepted just where it is, and waits where it was not ordered."""
    has_one = Exists(Acceptance.objects.filter(quote=OuterRef("pk")))
    for quote in Quote.objects.filter(has_one, is_accepted=False):
        yield f"{quote} is accepted and has no mark of it"
    for quote in Quote.objects.filter(~has_one, is_accepted=True):
        yield f"{quote} is marked as accepted and is not"
    # Of whoever was erased nothing waits any more.
    kept = Acceptance.objects.filter(quote__customer__erasure=None)
    for accepted in kept.filter(waits=False, order=None):
        yield f"{accepted} and not ordered, and has no mark of it"
