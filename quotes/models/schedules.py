"""A window schedule as it came in, and its lines as typed and as answered. Written only by `quotes.desk`."""

from django.db import models

from quotes.models.requests import Opening, Request
from sizing.models import Family, Part, Revision


class Schedule(models.Model):
    """One uploaded workbook. Its content stays as it came: the answers are added to a copy.

    `head_row` and `own` say where the headings stand and where the sender's columns end.
    `worked_at` is when lines were last worked out, so that a page can tell whether a worker is at it.
    """

    family = models.ForeignKey(Family, models.PROTECT)
    revision = models.ForeignKey(Revision, models.PROTECT)
    name = models.CharField(max_length=200)
    content = models.BinaryField()
    title = models.CharField(max_length=60)
    head_row = models.PositiveIntegerField()
    own = models.PositiveIntegerField()
    # Pairs of the sender's heading and what it is read as; the headings that are not read; sentences.
    understood = models.JSONField(default=list)
    unread = models.JSONField(default=list)
    notices = models.JSONField(default=list)
    caller = models.CharField(max_length=120, blank=True)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField("e-mail", blank=True)
    total = models.PositiveIntegerField()
    worked_at = models.DateTimeField(null=True, blank=True)
    request = models.OneToOneField(
        Request, models.SET_NULL, null=True, blank=True, related_name="schedule"
    )
    taken_by = models.CharField(max_length=150, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return self.name

    @property
    def read_as(self) -> dict[str, list[str]]:
        """The sender's headings by what they are read as: several columns may say where a window is."""
        found: dict[str, list[str]] = {}
        for theirs, ours in self.understood:
            found.setdefault(ours, []).append(theirs)
        return found


class ScheduleLine(models.Model):
    """One window of a schedule. `cells` holds each field's text, `problems` one sentence a field.

    `was` keeps what the sender had typed in the fields that were corrected. `attention` orders the
    page: what needs a look comes first.
    """

    class Attention(models.IntegerChoices):
        WAITING = 0, "waiting"
        UNREADABLE = 1, "can't be read"
        ASK = 2, "question"
        SPECIAL = 3, "special quote"
        DOUBT = 4, "part, with a doubt"
        PART = 5, "part"
        LEFT_OUT = 6, "left out"

    schedule = models.ForeignKey(Schedule, models.CASCADE, related_name="lines")
    position = models.PositiveIntegerField()
    row = models.PositiveIntegerField()
    cells = models.JSONField(default=dict)
    cannot = models.JSONField(default=list)
    problems = models.JSONField(default=dict)
    was = models.JSONField(default=dict)
    # The resolver's own answer, as `sizing.resolver.lines` says it, and the part it names when it names one.
    answer = models.JSONField(default=dict)
    part = models.ForeignKey(Part, models.PROTECT, null=True, blank=True)
    attention = models.PositiveSmallIntegerField(choices=Attention.choices, default=0)
    opening = models.OneToOneField(
        Opening, models.SET_NULL, null=True, blank=True, related_name="schedule_line"
    )
    changed_by = models.CharField(max_length=150, blank=True)

    class Meta:
        ordering = ["schedule", "position"]
        indexes = [models.Index(fields=["schedule", "attention", "position"])]
        constraints = [
            models.UniqueConstraint(fields=["schedule", "position"], name="one_schedule_position")
        ]

    def __str__(self) -> str:
        return self.cells.get("label") or f"Row {self.row}"
