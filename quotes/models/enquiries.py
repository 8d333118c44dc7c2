"""What the desk asks of a factory: specials, their enquiries, and every change with who and why.

Written only by `quotes.desk`.
"""

from __future__ import annotations

from django.core.validators import MinValueValidator
from django.db import models
from djmoney.models.fields import MoneyField

from quotes.documents.content import show_price
from quotes.enquiries import REASONS, Asked, Asking, weeks_in_words
from quotes.models.prices import Dated
from quotes.models.quotes import QuoteLine
from quotes.models.requests import Opening, Request
from sizing.models import Factory, Family, Part, Revision


class MarginRule(Dated):
    """What goes on a factory's cost, in percent of it. No family: each without a rule of its own.

    A total over `check_over` is checked by a manager; none: no total is.
    """

    LIST = ("family_id", "currency")

    family = models.ForeignKey(Family, models.CASCADE, null=True, blank=True)
    currency = models.CharField(max_length=3)
    percent = models.DecimalField(max_digits=7, decimal_places=4, validators=[MinValueValidator(0)])
    check_over = models.DecimalField(
        max_digits=14, decimal_places=4, null=True, blank=True, validators=[MinValueValidator(0)]
    )

    class Meta:
        ordering = ["family", "-in_force_from"]

    def __str__(self) -> str:
        return f"{self.percent.normalize():f} % on cost in {self.currency}"


class Special(models.Model):
    """Something no table answers: an opening that needs a special quote, or a lead time to ask for.

    `said` keeps the opening's measures as they were when it was flagged, so that a later change shows.
    """

    class State(models.TextChoices):
        FLAGGED = "flagged", "to be asked"
        ASKED = "asked", "with the factory"
        ANSWERED = "answered", "answered, to be priced"
        REFUSED = "refused", "can't be made"
        TO_CHECK = "to_check", "priced, to be checked"
        QUOTED = "quoted", "in the quote"
        TOLD = "told", "answered into the request"
        CLOSED = "closed", "closed"

    OPEN = ("flagged", "asked", "answered", "refused", "to_check")

    request = models.ForeignKey(Request, models.PROTECT, related_name="specials")
    opening = models.ForeignKey(
        Opening, models.SET_NULL, null=True, blank=True, related_name="specials"
    )
    family = models.ForeignKey(Family, models.PROTECT)
    revision = models.ForeignKey(Revision, models.PROTECT)
    # The part whose lead time is asked for.
    part = models.ForeignKey(Part, models.PROTECT, null=True, blank=True)
    reason = models.CharField(max_length=20, choices=list(REASONS.items()))
    words = models.TextField(blank=True)
    quantity = models.PositiveIntegerField(default=1)
    said = models.JSONField(default=dict)
    state = models.CharField(max_length=10, choices=State.choices, default=State.FLAGGED)
    unit_price = models.DecimalField(max_digits=14, decimal_places=4, null=True, blank=True)
    margin_percent = models.DecimalField(max_digits=9, decimal_places=4, null=True, blank=True)
    line = models.ForeignKey(
        QuoteLine, models.SET_NULL, null=True, blank=True, related_name="specials"
    )
    flagged_by = models.CharField(max_length=150, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["state"], name="specials_by_state")]
        constraints = [
            models.UniqueConstraint(
                fields=["opening"],
                condition=models.Q(
                    state__in=("flagged", "asked", "answered", "refused", "to_check")
                ),
                name="one_open_special_an_opening",
            )
        ]

    def __str__(self) -> str:
        return f"Special {self.pk:05d}"

    @property
    def wants_price(self) -> bool:
        return self.reason != "lead_time"

    @property
    def enquiry(self) -> Enquiry | None:
        """The latest one; earlier ones are closed."""
        return self.enquiries.order_by("-pk").first()


class Enquiry(models.Model):
    """One thing asked of one factory. `document` is what was asked, for ever; the answer stands beside it.

    Several openings of a request go in one letter: the first one's, which the others point to. What
    the letter has once (address, day, number) they all have alike, and any one's link opens all of it.
    """

    special = models.ForeignKey(Special, models.CASCADE, related_name="enquiries")
    factory = models.ForeignKey(Factory, models.PROTECT)
    # The first of its letter; the first itself has none, nor has one that went alone.
    asked_with = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="others"
    )
    to = models.EmailField()
    document = models.JSONField()
    due_on = models.DateField()
    nonce = models.CharField(max_length=64, editable=False)
    token_hash = models.CharField(max_length=64, unique=True, editable=False)
    expires_at = models.DateTimeField()
    reminders = models.PositiveSmallIntegerField(default=0)
    reminded_on = models.DateField(null=True, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    sent_by = models.CharField(max_length=150, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    # The factory's answer.
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_by = models.CharField(max_length=120, blank=True)
    can_be_made = models.BooleanField(null=True, blank=True)
    unit_cost = MoneyField(
        max_digits=14, decimal_places=4, null=True, blank=True, default_currency=None
    )
    weeks_min = models.PositiveSmallIntegerField(null=True, blank=True)
    weeks_max = models.PositiveSmallIntegerField(null=True, blank=True)
    valid_until = models.DateField(null=True, blank=True)
    remarks = models.TextField(blank=True)

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "enquiries"

    def __str__(self) -> str:
        return f"Enquiry {self.number}"

    @property
    def number(self) -> str:
        return self.document.get("number", "")

    @property
    def name(self) -> str:
        """What its paper is called as a file."""
        return f"enquiry-{self.number}"

    @property
    def first_pk(self) -> int:
        """Which letter it went in, by the key of the letter's first enquiry."""
        return self.asked_with_id or self.pk

    def in_one_letter(self) -> models.QuerySet[Enquiry]:
        """All that were asked in its letter, itself among them, in the letter's order."""
        first = self.first_pk
        return Enquiry.objects.filter(models.Q(pk=first) | models.Q(asked_with=first)).order_by(
            "pk"
        )

    def asked(self) -> Asked:
        return Asked.from_plain(self.document)

    def asking(self) -> Asking:
        """All that its letter asks."""
        return Asking(tuple(one.asked() for one in self.in_one_letter()))

    @property
    def cost_words(self) -> str:
        """131.40 USD"""
        cost = self.unit_cost
        return f"{show_price(cost.amount, cost.currency.code)} {cost.currency.code}" if cost else ""

    @property
    def lead_words(self) -> str:
        if self.weeks_min is None or self.weeks_max is None:
            return ""
        return weeks_in_words(self.weeks_min, self.weeks_max)


class FactoryQuestion(models.Model):
    """What a factory asks before it answers a letter, by the letter's first enquiry, and what the desk said."""

    enquiry = models.ForeignKey(Enquiry, models.CASCADE, related_name="questions")
    name = models.CharField(max_length=120)
    words = models.TextField()
    at = models.DateTimeField(auto_now_add=True)
    answer = models.TextField(blank=True)
    done_by = models.CharField(max_length=150, blank=True)
    done_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]
        indexes = [
            models.Index(
                fields=["enquiry"], condition=models.Q(done_at=None), name="factory_questions_open"
            )
        ]

    def __str__(self) -> str:
        return f"{self.name} asks about {self.enquiry}"


class SpecialEvent(models.Model):
    """What happened to a special: who, when, what, and why. Only ever added to."""

    special = models.ForeignKey(Special, models.CASCADE, related_name="events")
    at = models.DateTimeField(auto_now_add=True)
    by = models.CharField(max_length=150)
    what = models.CharField(max_length=120)
    why = models.TextField(blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.what} by {self.by}"
