"""What lead times are learned from: a shop's own past orders, what is known of a factory's calendar, what was
learned, and how what was told turned out.
"""

from django.db import models
from django.db.models import F, Q

from sizing.models import Factory, Family


class SaidWeeks(models.Model):
    """Has the weeks that its factory said for just this one, a special: they count in the place of what
    is declared for the family, and nothing about the family is learned from it."""

    weeks_min = models.PositiveSmallIntegerField(null=True, editable=False)
    weeks_max = models.PositiveSmallIntegerField(null=True, editable=False)

    class Meta:
        abstract = True

    @property
    def weeks(self) -> tuple[int, int] | None:
        """From and to; None for what is made as usual."""
        if self.weeks_min is None or self.weeks_max is None:
            return None
        return self.weeks_min, self.weeks_max


class PastOrder(SaidWeeks):
    """One line of a shop's past, imported or kept from its own orders. Written by `ordering.past`.

    Without `shipped_on` it is still open. A part number may be one that no table knows any more.
    """

    reference = models.CharField(max_length=80, unique=True)
    family = models.ForeignKey(Family, models.PROTECT, related_name="past_orders")
    part_number = models.CharField(max_length=60)
    quantity = models.PositiveIntegerField()
    ordered_on = models.DateField()
    shipped_on = models.DateField(null=True, blank=True)
    promised_on = models.DateField(null=True, blank=True)
    # By which a reference is found without what stands before its number (`ordering.words.digits_of`);
    # empty for the desk's own orders, which are found otherwise.
    digits = models.CharField(max_length=80, blank=True, default="", editable=False)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(shipped_on__isnull=True) | Q(shipped_on__gte=F("ordered_on")),
                name="shipped_after_ordered",
            )
        ]
        indexes = [
            models.Index(fields=["family", "ordered_on"], name="past_of_a_family"),
            # In the form that "begins with" is asked in, whatever the database's language.
            models.Index(
                fields=["digits"], name="past_by_digits", opclasses=["varchar_pattern_ops"]
            ),
        ]

    def __str__(self) -> str:
        return self.reference


class Shutdown(models.Model):
    """Days on which a factory makes nothing, first and last included; weekends may lie between."""

    factory = models.ForeignKey(Factory, models.CASCADE, related_name="shutdowns")
    first_day = models.DateField()
    last_day = models.DateField()
    note = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["first_day"]
        constraints = [
            models.CheckConstraint(
                condition=Q(last_day__gte=F("first_day")), name="shutdown_ends_after_it_begins"
            )
        ]

    def __str__(self) -> str:
        return f"{self.factory}: shut {self.first_day} to {self.last_day}"


class Shortage(models.Model):
    """A manager's word that orders cannot start before a day: of a factory, a family, a finish."""

    factory = models.ForeignKey(Factory, models.CASCADE, related_name="shortages")
    family = models.ForeignKey(Family, models.CASCADE, null=True, blank=True)
    finish = models.CharField(max_length=40, blank=True)
    until = models.DateField()
    reason = models.CharField(max_length=120, blank=True)
    said_by = models.CharField(max_length=150, blank=True)
    said_on = models.DateField(auto_now_add=True)

    class Meta:
        ordering = ["until"]

    def __str__(self) -> str:
        return f"{self.family or self.factory} until {self.until}"


class PastVersion(models.Model):
    """Goes up with every change of a family's past orders, in the same transaction; of an import, which is many,
    once all of it is there."""

    family = models.OneToOneField(Family, models.CASCADE, related_name="past_version")
    number = models.PositiveBigIntegerField(default=0)
    # When an import that has not come to its end last stored some of them.
    storing_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return f"{self.family}: {self.number}"


class LeadTimeFit(models.Model):
    """What a factory's past taught on a day, ready to answer from. Written by `ordering.fits`.

    It holds only while its stamp is that of what it was made from.
    """

    factory = models.OneToOneField(Factory, models.CASCADE, related_name="lead_time_fit")
    as_of = models.DateField()
    stamp = models.CharField(max_length=64)
    learned = models.BinaryField()

    def __str__(self) -> str:
        return f"{self.factory} as of {self.as_of}"


class JudgedMonth(models.Model):
    """What came of the windows told in a month about one factory's lines. Written by `ordering.judged`."""

    factory = models.ForeignKey(Factory, models.CASCADE, null=True, related_name="judged_months")
    month = models.DateField()
    open = models.PositiveIntegerField()
    inside = models.PositiveIntegerField()
    early = models.PositiveIntegerField()
    late = models.PositiveIntegerField()
    # Calendar days after the last day of the window that was missed by most.
    worst = models.PositiveIntegerField()
    # {calendar days: how many windows were so wide}, of those that are judged.
    widths = models.JSONField(default=dict)
    judged_on = models.DateField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["month", "factory"], name="one_judgement_a_month")
        ]

    def __str__(self) -> str:
        return f"{self.factory}, {self.month:%b %Y}"


class RemadeMonth(models.Model):
    """Lines of a month's orders that were made a second time, by factory, family and cause."""

    factory = models.ForeignKey(Factory, models.CASCADE, null=True)
    family = models.ForeignKey(Family, models.CASCADE, null=True)
    month = models.DateField()
    cause = models.CharField(max_length=20)
    lines = models.PositiveIntegerField()

    def __str__(self) -> str:
        return f"{self.lines} of {self.month:%b %Y}, {self.cause}"
