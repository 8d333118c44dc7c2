"""What customers and factories were told, against the events that caused it."""

from __future__ import annotations

from collections.abc import Iterator

from django.db.models import Count, Q

from ordering.models import Event, FactoryOrder, Notice
from ordering.notices import CAUSED_BY, IF_SAID, PRESSED_FOR, Kind
from ordering.states import Act
from ordering.verifying.moment import AT_ONCE
from quotes.models import Letter


def notices() -> Iterator[str]:
    """Each event that causes a notice has exactly that one, and no notice is of another cause."""
    causes = Q(act__in=CAUSED_BY.keys() - IF_SAID) | Q(act__in=IF_SAID, data__tells=True)
    causing = Event.objects.filter(causes).select_related("order")
    for event in causing.prefetch_related("notices").iterator(AT_ONCE):
        kind = CAUSED_BY[Act(event.act)]
        kinds = [notice.kind for notice in event.notices.all() if not notice.factory_order_id]
        # Whether a kind was wanted at the time is not kept: what is not wanted now may be missing.
        if kinds != [kind] and not (kinds == [] and kind in event.order.unwanted):
            yield f"{event} has the notices {kinds or 'none'}; it causes one, {kind}."
    told = Notice.objects.filter(event__isnull=False, factory_order=None)
    for act, kind in PRESSED_FOR.items():
        told = told.exclude(event__act=act, kind=kind)
    for notice in told.exclude(event__in=Event.objects.filter(causes)):
        yield f"Notice {notice.pk} is of an event that causes none."
    for notice in Notice.objects.filter(event=None, factory_order=None):
        yield f"Notice {notice.pk} has no cause."
    brought = Count("notices", filter=Q(notices__kind=Kind.FACTORY))
    for order in FactoryOrder.objects.annotate(brought=brought).exclude(brought=1):
        yield f"{order} has {order.brought} notices that bring it to its factory; it has one."
    for notice in Notice.objects.filter(sent_at__isnull=False, attempts=0).exclude(to=""):
        yield f"Notice {notice.pk} says it was sent, yet nothing ever tried to."
    for letter in Letter.objects.filter(sent_at__isnull=False, attempts=0):
        yield f"Letter {letter.pk} says it was sent, yet nothing ever tried to."
