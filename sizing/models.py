"""Factories, families and the revisions of their size tables.

Lengths are stored as whole 1/320 mm, weights as nanograms (see `lengths`, `weights`). Written only by `tables`,
what is published by ordering alone; `frozen` refuses every other write to a revision in force.
"""

from datetime import date

from django.db import models
from django.db.models import Q
from djmoney.models.fields import MoneyField

from sizing.frozen import Frozen
from sizing.lengths import Unit
from sizing.weights import WeightUnit


class Factory(models.Model):
    name = models.CharField(max_length=120, unique=True)
    email = models.EmailField(blank=True)
    # Who else gets what is mailed there, with commas between.
    copies_to = models.CharField(max_length=500, blank=True, default="")
    contact = models.CharField(max_length=120, blank=True)
    # ISO 3166 country and state: they choose the public holidays of the factory's calendar.
    country = models.CharField(max_length=2, default="US")
    region = models.CharField(max_length=3, blank=True)
    # What its shipments say of its days, published by ordering beside the windows: the weekdays on which it makes
    # nothing (0 is Monday), and the public holidays of the coming years on which it works.
    published_weekend = models.CharField(max_length=7, default="56", db_default="56", blank=True)
    published_worked = models.TextField(default="", db_default="", blank=True)

    class Meta:
        verbose_name_plural = "factories"

    def __str__(self) -> str:
        return self.name

    @property
    def copies(self) -> list[str]:
        """The addresses besides its e-mail that each mail to it goes to."""
        return [one for one in self.copies_to.split(", ") if one]

    @property
    def published_week(self) -> tuple[tuple[int, ...], frozenset[date]]:
        """The weekdays off and the holidays worked, as a `workdays.Calendar` takes them."""
        worked = map(date.fromisoformat, self.published_worked.split())
        return tuple(map(int, self.published_weekend)), frozenset(worked)


class Facts(models.Model):
    """What holds for a whole table. The declared lead time is the factory's own word."""

    name = models.CharField(max_length=120)
    unit = models.CharField(max_length=2, choices=[(u.value, u.value) for u in Unit])
    weight_unit = models.CharField(max_length=2, choices=[(u.value, u.value) for u in WeightUnit])
    currency = models.CharField(max_length=3)
    lead_weeks_min = models.PositiveSmallIntegerField()
    lead_weeks_max = models.PositiveSmallIntegerField()
    sold_as = models.CharField(
        max_length=5, choices=[("piece", "piece"), ("pair", "pair")], default="piece"
    )
    # Where nobody says so it is taken to: a caution too many is better than one too few.
    carries_sash = models.BooleanField(default=True)
    girth = models.IntegerField(null=True, blank=True)
    linear_weight = models.BigIntegerField(null=True, blank=True)

    class Meta:
        abstract = True


class Family(Facts):
    """A kind of part with one size table. Its facts are those of the revision last put in force."""

    code = models.CharField(max_length=40, unique=True)
    factory = models.ForeignKey(Factory, models.PROTECT, related_name="families")
    # How much more often callers measured wrongly than the slips' declared shares say (see `table`).
    slip_factor = models.FloatField(default=1.0)
    # From this day on its factory makes it no more: nobody is offered it, what was ordered goes on.
    not_made_from = models.DateField(null=True, blank=True)

    class Meta:
        verbose_name_plural = "families"

    def __str__(self) -> str:
        return self.name

    def is_made(self, day: date) -> bool:
        return self.not_made_from is None or day < self.not_made_from


class Revision(Frozen, Facts):
    """One edition of a family's table. A draft until `in_force_from` is set; frozen from then on.

    It keeps its own facts, so that a draft changes nothing and an old request reads the same for ever.
    `digest` stands for the whole table: two revisions with one digest say the same.
    """

    revision_path = ""

    family = models.ForeignKey(Family, models.PROTECT, related_name="revisions")
    factory = models.ForeignKey(Factory, models.PROTECT, related_name="revisions")
    number = models.PositiveIntegerField()
    in_force_from = models.DateField(null=True, blank=True)
    published_at = models.DateTimeField(null=True, blank=True)
    published_by = models.CharField(max_length=150, blank=True)
    source = models.CharField(max_length=255, blank=True)
    # What the workbook's reader found doubtful, as sentences.
    # [language, a text of the table, the same in that language]
    words = models.JSONField(default=list, blank=True)
    warnings = models.JSONField(default=list, blank=True)
    digest = models.CharField(max_length=64)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["family", "number"], name="one_revision_number"),
        ]
        ordering = ["family", "-number"]

    def __str__(self) -> str:
        return f"{self.family.code} revision {self.number}"

    @property
    def revision_key(self) -> int | None:
        return self.pk


class Column(Frozen):
    revision = models.ForeignKey(Revision, models.CASCADE, related_name="columns")
    position = models.PositiveSmallIntegerField()
    code = models.CharField(max_length=40)
    label = models.CharField(max_length=80)

    class Meta:
        ordering = ["position"]
        constraints = [models.UniqueConstraint(fields=["revision", "code"], name="one_column_code")]

    def __str__(self) -> str:
        return self.label


class Measure(Frozen):
    revision = models.ForeignKey(Revision, models.CASCADE, related_name="measures")
    position = models.PositiveSmallIntegerField()
    code = models.CharField(max_length=40)
    label = models.CharField(max_length=80)
    column = models.ForeignKey(Column, models.CASCADE, null=True, blank=True)
    kind = models.CharField(max_length=6, choices=[("length", "length"), ("weight", "weight")])
    tolerance = models.BigIntegerField()
    how_to = models.TextField(blank=True)
    sash = models.CharField(
        max_length=5, blank=True, choices=[("upper", "upper"), ("lower", "lower")]
    )

    class Meta:
        ordering = ["position"]
        constraints = [
            models.UniqueConstraint(fields=["revision", "code"], name="one_measure_code")
        ]

    def __str__(self) -> str:
        return self.label


class Slip(Frozen):
    revision_path = "measure__revision__"

    measure = models.ForeignKey(Measure, models.CASCADE, related_name="slips")
    name = models.CharField(max_length=120)
    shift_min = models.IntegerField()
    shift_max = models.IntegerField()
    share = models.FloatField()

    class Meta:
        ordering = ["measure__position", "id"]

    def __str__(self) -> str:
        return self.name

    @property
    def revision_key(self) -> int:
        return self.measure.revision_id


class Row(Frozen):
    """One size. `lengths` holds one whole 1/320 mm per column, in the columns' order."""

    changeable = frozenset({"sold"})

    revision = models.ForeignKey(Revision, models.CASCADE, related_name="rows")
    position = models.PositiveIntegerField()
    lengths = models.JSONField()
    # How many of this size the desk has sold: the resolver's prior leans on it.
    sold = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["position"]
        constraints = [
            models.UniqueConstraint(fields=["revision", "position"], name="one_row_position")
        ]

    def __str__(self) -> str:
        return f"row {self.position + 1}"


class Part(Frozen):
    """Row x weight class x finish. A blank part number means: not offered."""

    revision = models.ForeignKey(Revision, models.CASCADE, related_name="parts")
    row = models.ForeignKey(Row, models.CASCADE, related_name="parts")
    weight_class = models.CharField(max_length=40, blank=True)
    weight_min = models.BigIntegerField(null=True, blank=True)
    weight_max = models.BigIntegerField(null=True, blank=True)
    finish = models.CharField(max_length=40, blank=True)
    part_number = models.CharField(max_length=60, blank=True, db_index=True)
    price = MoneyField(max_digits=14, decimal_places=4, null=True, default_currency=None)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["revision", "row", "weight_class", "finish"], name="one_part_a_cell"
            ),
            models.UniqueConstraint(
                fields=["revision", "part_number"],
                condition=~Q(part_number=""),
                name="one_part_number",
            ),
        ]

    def __str__(self) -> str:
        return self.part_number or "not offered"


class FitQuestion(Frozen):
    revision = models.ForeignKey(Revision, models.CASCADE, related_name="fit_questions")
    position = models.PositiveSmallIntegerField()
    question = models.CharField(max_length=255)
    answer_that_fits = models.CharField(max_length=120)
    otherwise = models.CharField(max_length=255)

    class Meta:
        ordering = ["position"]

    def __str__(self) -> str:
        return self.question


class PublishedShutdown(models.Model):
    """Days ahead on which a factory makes nothing, declared or learned, first and last included.

    Ordering publishes them beside the windows, so that quotes can count a factory's working days.
    """

    factory = models.ForeignKey(Factory, models.CASCADE, related_name="published_shutdowns")
    first_day = models.DateField()
    last_day = models.DateField()

    class Meta:
        ordering = ["first_day"]

    def __str__(self) -> str:
        return f"{self.factory}: shut {self.first_day} to {self.last_day}"


class PublishedWindow(models.Model):
    """The lead-time window last worked out for a family (no part number) or one part.

    Working days from the factory order to leaving the factory. Ordering publishes it here so that
    quotes can show it without asking ordering.
    """

    family = models.ForeignKey(Family, models.CASCADE, related_name="windows")
    part_number = models.CharField(max_length=60, blank=True)
    earliest_days = models.PositiveSmallIntegerField()
    likely_days = models.PositiveSmallIntegerField()
    latest_days = models.PositiveSmallIntegerField()
    basis = models.CharField(max_length=255)
    # {language: the basis in it}, of the languages besides English.
    basis_words = models.JSONField(default=dict, blank=True)
    published_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["family", "part_number"], name="one_window_a_part")
        ]

    def __str__(self) -> str:
        return f"{self.earliest_days}-{self.latest_days} working days"

    def basis_in(self, language: str) -> str:
        return self.basis_words.get(language, self.basis)
