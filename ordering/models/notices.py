"""Mail that tells somebody of an order, and the shop's own words for it. Written only by `ordering.events`;
how far each has come, by `quotes.post`.
"""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from ordering.models.orders import Event, FactoryOrder
from ordering.notices import Kind
from quotes.models import Customer


class Notice(models.Model):
    """One mail to a customer about an event, or to a factory about a factory order, on its own or for an
    event of one of its lines; sent by `quotes.post`.

    Without an address it is a call to be made: the watch list shows it until somebody has called.
    """

    event = models.ForeignKey(Event, models.PROTECT, null=True, related_name="notices")
    factory_order = models.ForeignKey(
        FactoryOrder, models.PROTECT, null=True, related_name="notices"
    )
    kind = models.CharField(max_length=16, choices=Kind.choices())
    to = models.EmailField(blank=True)
    reply_to = models.EmailField(blank=True)
    subject = models.CharField(max_length=255)
    body = models.TextField()
    html = models.TextField()
    message_id = models.CharField(max_length=255, unique=True)
    attempts = models.PositiveSmallIntegerField(default=0)
    last_error = models.CharField(max_length=500, blank=True)
    # When a worker last took it up; it is not taken up again before its wait is over.
    taken_at = models.DateTimeField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    # Who got a copy as it went, as addresses; None of what went before this was written down.
    copied_to = models.JSONField(null=True, blank=True)
    # When its mail was found to be overtaken; `last_error` says by what.
    dropped_at = models.DateTimeField(null=True, blank=True)
    called_by = models.CharField(max_length=150, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["event", "kind"],
                condition=Q(event__isnull=False, factory_order=None),
                name="one_notice_an_event",
            ),
            models.UniqueConstraint(
                fields=["factory_order", "kind"],
                condition=Q(factory_order__isnull=False, event=None),
                name="one_notice_a_factory_order",
            ),
            models.UniqueConstraint(
                fields=["event", "factory_order", "kind"], name="one_notice_a_factory_of_an_event"
            ),
        ]
        indexes = [
            models.Index(fields=["id"], condition=Q(sent_at__isnull=True), name="unsent_notices")
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} to {self.to or 'a phone'}"


class NoticeText(models.Model):
    """The shop's own words for one kind in one language; without a row the words in `ordering.notices` count."""

    kind = models.CharField(max_length=16, choices=Kind.choices())
    language = models.CharField(
        max_length=2, choices=Customer.Language.choices, default=Customer.Language.ENGLISH
    )
    subject = models.CharField(max_length=200)
    body = models.TextField()
    changed_by = models.CharField(max_length=150, blank=True)
    changed_at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["kind", "language"], name="one_text_a_language")
        ]

    def __str__(self) -> str:
        return self.get_kind_display()
