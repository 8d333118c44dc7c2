"""A request is one caller; an opening is one window of that caller, as said and as understood."""

from __future__ import annotations

from django.db import models
from django.db.models.fields.json import KT

from quotes.models.people import Customer
from sizing.models import Family, Part, Revision


class Request(models.Model):
    """One caller's call. `version` rises with each write: a later writer of an older one is told.

    `scraps` holds every word and digit of caller, phone, e-mail, note and windows' labels, by which it is found, kept up by the
    desk.
    """

    caller = models.CharField(max_length=120, blank=True)
    phone = models.CharField(max_length=40, blank=True)
    # The phone's digits alone: who calls again may write the number otherwise.
    phone_digits = models.CharField(max_length=40, blank=True, editable=False)
    email = models.EmailField(blank=True)
    note = models.TextField(blank=True)
    scraps = models.TextField(blank=True, editable=False)
    # The day by which the caller needs it, if they said one.
    needed_by = models.DateField(null=True, blank=True)
    # Whose call it is: the one customer with this e-mail or phone, or the one somebody chose.
    customer = models.ForeignKey(
        Customer, models.SET_NULL, null=True, blank=True, related_name="requests"
    )
    customer_chosen_by = models.CharField(max_length=150, blank=True)
    # What the caller reads, if somebody asked; with a customer, that one's own language counts.
    language = models.CharField(
        "reads", max_length=2, choices=Customer.Language.choices, blank=True, default=""
    )
    # Measures with nobody's name to them, which the page saved by itself: no call to finish until somebody is
    # named or presses a button.
    looked_up = models.BooleanField(default=False, editable=False)
    # Nothing came of it: it is no call to finish any more.
    aside_at = models.DateTimeField(null=True, blank=True)
    aside_by = models.CharField(max_length=150, blank=True)
    taken_by = models.CharField(max_length=150, blank=True)
    changed_by = models.CharField(max_length=150, blank=True)
    version = models.PositiveIntegerField(default=1)
    # Whether it may be a call to finish: narrows what the rule of quotes/worklist.py is asked about.
    waits = models.BooleanField(default=True, editable=False)
    # The page it was first typed into: a page sent twice makes one request.
    page = models.UUIDField(null=True, unique=True, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)

    class Meta:
        ordering = ["-id"]
        indexes = [
            models.Index(
                fields=["created_at"], condition=models.Q(waits=True), name="calls_that_wait"
            ),
            models.Index(fields=["taken_by", "-id"], name="calls_of_clerk"),
        ]

    def __str__(self) -> str:
        return f"Request {self.pk}: {self.caller or 'no name yet'}"

    @property
    def speaks(self) -> str:
        """The language that whoever called reads."""
        return self.customer.language if self.customer else self.language or "en"


class Opening(models.Model):
    """One window. `said` keeps each measure as typed ({code: text}); the answer is what the resolver made of it.

    The revision that answered is kept, so an old request reads the same after the table moves on.
    """

    request = models.ForeignKey(Request, models.CASCADE, related_name="openings")
    position = models.PositiveSmallIntegerField()
    label = models.CharField(max_length=80, blank=True)
    family = models.ForeignKey(Family, models.PROTECT)
    revision = models.ForeignKey(Revision, models.PROTECT, null=True, blank=True)
    said = models.JSONField(default=dict)
    # Codes of measures that nobody can take, so that they are not asked for again.
    cannot = models.JSONField(default=list, blank=True)
    # The sash when nobody can weigh it: {"glass_width", "thickness", "panes", "frame"} as typed.
    sash = models.JSONField(default=dict, blank=True)
    finish = models.CharField(max_length=40, blank=True)
    quantity = models.PositiveIntegerField(default=1)
    # The resolver's own answer, as `sizing.resolver.lines` says it, and the part it names when it names one.
    answer = models.JSONField(default=dict, blank=True)
    # How it came out, kept by the database itself: a list asks for it without reading the answers.
    outcome = models.GeneratedField(
        expression=KT("answer__outcome"),
        output_field=models.CharField(max_length=12),
        db_persist=True,
    )
    part = models.ForeignKey(Part, models.PROTECT, null=True, blank=True)
    # A clerk may know better; the reason is kept beside what the desk had said.
    override_part = models.ForeignKey(
        Part, models.PROTECT, null=True, blank=True, related_name="overrides"
    )
    override_reason = models.CharField(max_length=255, blank=True)
    override_by = models.CharField(max_length=150, blank=True)
    # Whether it may be a special to ask about, now or again; see quotes/worklist.py.
    waits = models.BooleanField(default=True, editable=False)

    class Meta:
        ordering = ["request", "position"]
        indexes = [
            models.Index(
                fields=["request"], condition=models.Q(waits=True), name="openings_that_wait"
            ),
            models.Index(fields=["outcome", "request"], name="openings_by_outcome"),
            models.Index(fields=["family", "request"], name="openings_of_family"),
        ]
        constraints = [
            models.UniqueConstraint(fields=["request", "position"], name="one_opening_a_place")
        ]

    def __str__(self) -> str:
        return self.label or f"Opening {self.position + 1}"

    @property
    def part_to_order(self) -> Part | None:
        """The clerk's own choice or the answer's; none while the desk has flagged it as a special."""
        flagged = any(s.reason == "flagged" and s.state != "closed" for s in self.specials.all())
        return None if flagged else self.override_part or self.part

    @property
    def is_special(self) -> bool:
        """Whether it can only be quoted with what the factory answers."""
        if self.part_to_order:
            return False
        asked = any(s.reason != "lead_time" and s.state != "closed" for s in self.specials.all())
        return asked or self.answer.get("outcome") == "special"
