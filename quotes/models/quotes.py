"""A quote, its issues and their lines, the link a customer opens, and what the customer answered.

An issue is a draft until `issued_at` is set; from then on `document` is what it says, for ever.
Written only by `quotes.desk`; how far a letter has come, by `quotes.post`.
"""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _
from djmoney.models.fields import MoneyField

from quotes.models.people import Address, Customer
from quotes.models.prices import PERCENT
from quotes.models.requests import Opening, Request
from sizing.models import Part


class Quote(models.Model):
    """One offer to one customer in one currency, through all its issues."""

    request = models.ForeignKey(Request, models.PROTECT, null=True, related_name="quotes")
    customer = models.ForeignKey(Customer, models.PROTECT, related_name="quotes")
    currency = models.CharField(max_length=3)
    taken_by = models.CharField(max_length=150, blank=True)
    # Why nothing came of it, as the desk has heard; for the shop alone.
    lost_because = models.CharField(max_length=100, blank=True, default="")
    created_at = models.DateTimeField(auto_now_add=True)
    # A mark that there is an acceptance: of most quotes nothing else is asked.
    is_accepted = models.BooleanField(default=False, db_default=False, editable=False)

    class Meta:
        ordering = ["-id"]
        indexes = [
            models.Index(fields=["taken_by", "-id"], name="quotes_of_clerk"),
            models.Index(
                fields=["-id"], condition=models.Q(is_accepted=False), name="quotes_not_accepted"
            ),
        ]

    def __str__(self) -> str:
        return f"Quote {self.number}"

    @property
    def number(self) -> str:
        return f"{self.pk:05d}"


class Issue(models.Model):
    """One edition of a quote. Of its fields only a draft's are ever changed."""

    quote = models.ForeignKey(Quote, models.CASCADE, related_name="issues")
    number = models.PositiveSmallIntegerField()
    ship_to = models.ForeignKey(Address, models.SET_NULL, null=True, blank=True)
    pickup = models.BooleanField("picked up at the counter", default=False)
    # Freight agreed with the customer or told by a carrier; None: from the rates.
    freight = models.DecimalField(max_digits=14, decimal_places=4, null=True, blank=True)
    # What a manager gives off list for this quote, in the place of the customer's terms; None: as they say.
    discount_percent = models.DecimalField(null=True, blank=True, **PERCENT)
    discount_by = models.CharField(max_length=150, blank=True)
    note = models.TextField("note to the customer", blank=True)
    valid_days = models.PositiveSmallIntegerField("holds for days", default=30)
    valid_until = models.DateField(null=True, blank=True)
    issued_at = models.DateTimeField(null=True, blank=True)
    issued_by = models.CharField(max_length=150, blank=True)
    document = models.JSONField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["quote", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["quote", "number"], name="one_issue_a_number"),
            models.UniqueConstraint(
                fields=["quote"],
                condition=models.Q(issued_at=None),
                name="one_draft_a_quote",
            ),
        ]
        indexes = [
            models.Index(fields=["valid_until", "quote"], name="issues_lapsing"),
            models.Index(fields=["issued_at"], name="issues_of_a_month"),
            # The later issues of all quotes, a few, in one place.
            models.Index(fields=["number", "quote"], name="issues_by_number"),
        ]

    def __str__(self) -> str:
        return f"Quote {self.quote.number}, issue {self.number}"

    @property
    def last_letter(self) -> Letter | None:
        """The last that was written about it by mail."""
        return self.letters.order_by("-pk").first()

    @property
    def mailed_to(self) -> str:
        """Where it went by mail, the last time; empty where it did not."""
        letter = self.last_letter
        return letter.to if letter else ""


class QuoteLine(models.Model):
    """One line of an issue. `unit_price` is for one piece or pair as sold; None: still to come.

    A special line carries what the factory answered: its cost, how long that holds and the margin
    on it, with the factory's working weeks in words.
    """

    class Kind(models.TextChoices):
        PART = "part", "Part"
        SPECIAL = "special", "Special"
        HAND = "hand", "By hand"

    issue = models.ForeignKey(Issue, models.CASCADE, related_name="lines")
    position = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=7, choices=Kind.choices)
    part = models.ForeignKey(Part, models.PROTECT, null=True, blank=True)
    openings = models.ManyToManyField(Opening, through="LineOpening", related_name="quote_lines")
    description = models.CharField(max_length=500, blank=True)
    quantity = models.PositiveIntegerField(default=1)
    sold_as = models.CharField(
        max_length=5, choices=[("piece", "piece"), ("pair", "pair")], default="piece"
    )
    unit_price = models.DecimalField(max_digits=14, decimal_places=4, null=True, blank=True)
    taxable = models.BooleanField(default=True)
    factory_cost = MoneyField(
        max_digits=14, decimal_places=4, null=True, blank=True, default_currency=None
    )
    factory_valid_until = models.DateField(null=True, blank=True)
    margin_percent = models.DecimalField(max_digits=7, decimal_places=4, null=True, blank=True)
    lead_words = models.CharField(max_length=255, blank=True)

    class Meta:
        ordering = ["position", "id"]

    def __str__(self) -> str:
        return self.description or str(self.part or self.get_kind_display())

    @property
    def is_unpriced_special(self) -> bool:
        """Whether the factory's price for it is still to come."""
        return self.kind == self.Kind.SPECIAL and self.unit_price is None


class LineOpening(models.Model):
    """Which opening a line is for. An opening in a quote cannot be taken out of its request."""

    line = models.ForeignKey(QuoteLine, models.CASCADE)
    opening = models.ForeignKey(Opening, models.PROTECT)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["line", "opening"], name="one_opening_a_line")
        ]

    def __str__(self) -> str:
        return f"{self.opening} in {self.line}"


class Link(models.Model):
    """What a customer opens an issue with. Only the token's hash is stored (see `quotes.links`)."""

    issue = models.OneToOneField(Issue, models.CASCADE, related_name="link")
    nonce = models.CharField(max_length=64, editable=False)
    token_hash = models.CharField(max_length=64, unique=True, editable=False)
    expires_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"link of {self.issue}"


class Acceptance(models.Model):
    """The one acceptance of a quote: the database itself refuses a second."""

    class How(models.TextChoices):
        LINK = "link", _("by the link")
        PHONE = "phone", _("by phone")
        COUNTER = "counter", _("at the counter")
        EMAIL = "email", _("by e-mail")

    quote = models.OneToOneField(Quote, models.PROTECT, related_name="acceptance")
    issue = models.OneToOneField(Issue, models.PROTECT, related_name="acceptance")
    name = models.CharField(max_length=300)
    # The number under which the customer's own books have the order, if they have said one.
    their_number = models.CharField("their order number", max_length=40, blank=True, default="")
    how = models.CharField(max_length=7, choices=How.choices)
    # Who of the desk took the customer's word; blank: the customer's own click.
    taken_by = models.CharField(max_length=150, blank=True)
    # The openings whose measures were ticked, as named in the document.
    ticked = models.JSONField(default=list)
    # What the desk knew of moved prices when it was accepted, as sentences.
    moved_prices = models.JSONField(default=list)
    at = models.DateTimeField(auto_now_add=True)
    # Whether it may still have to be ordered: orders are not known here.
    waits = models.BooleanField(default=True, editable=False)

    class Meta:
        indexes = [
            models.Index(
                fields=["at"], condition=models.Q(waits=True), name="acceptances_that_wait"
            )
        ]

    def __str__(self) -> str:
        return f"{self.issue} accepted by {self.name}"


class ChangeAsked(models.Model):
    """What a customer has sent of an issue: something is different, and it is back at the desk until somebody
    deals with that; or a question alone, beside which it can still be accepted. Or the desk itself has taken
    it back, as something in it is wrong."""

    issue = models.ForeignKey(Issue, models.CASCADE, related_name="changes_asked")
    name = models.CharField(max_length=300)
    # {"opening": its name in the document, "words": what the customer wrote}, one for each opening.
    measures = models.JSONField(default=list)
    words = models.TextField(blank=True)
    is_question = models.BooleanField(default=False)
    # Who at the desk took the issue back, with `words` as the reason; blank: the customer sent it.
    taken_back_by = models.CharField(max_length=150, blank=True, default="")
    at = models.DateTimeField(auto_now_add=True)
    # What the desk said to it.
    answer = models.TextField(blank=True)
    done_by = models.CharField(max_length=150, blank=True)
    done_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]
        indexes = [
            models.Index(fields=["issue"], condition=models.Q(done_at=None), name="changes_open")
        ]

    def __str__(self) -> str:
        if self.taken_back_by:
            return f"{self.issue} taken back by {self.taken_back_by}"
        return f"{self.name} asks {'about' if self.is_question else 'for changes to'} {self.issue}"

    @property
    def rows(self) -> list[str]:
        """All that was written, line by line, each opening's words after its name."""
        each = [f"{one['opening']}: {one['words']}" for one in self.measures]
        return "\n".join([*each, self.words]).strip().splitlines()

    @property
    def sends_back(self) -> bool:
        """Whether the issue is back at the desk because of it."""
        return self.done_at is None and not self.is_question


# The same as a question to the database.
SENT_BACK = models.Q(done_at=None, is_question=False)


class Letter(models.Model):
    """A mail of the desk, about an issue or a special: written with what causes it, sent by a worker.

    `cause` is unique: one cause makes one letter. `message_id` stays the same through every attempt.
    """

    issue = models.ForeignKey(Issue, models.PROTECT, null=True, blank=True, related_name="letters")
    # To a factory about a special, or to the customer whose special it is.
    special = models.ForeignKey(
        "quotes.Special", models.PROTECT, null=True, blank=True, related_name="letters"
    )
    # The enquiry whose paper goes with the letter.
    enquiry = models.ForeignKey(
        "quotes.Enquiry", models.PROTECT, null=True, blank=True, related_name="letters"
    )
    cause = models.CharField(max_length=200, unique=True)
    to = models.EmailField()
    subject = models.CharField(max_length=255)
    body = models.TextField()
    with_papers = models.BooleanField(default=False)
    by = models.CharField(max_length=150, blank=True)
    message_id = models.CharField(max_length=255)
    attempts = models.PositiveSmallIntegerField(default=0)
    last_error = models.CharField(max_length=500, blank=True)
    # Set while a worker is at it, so that no second one takes the same letter.
    taken_at = models.DateTimeField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    # Who got a copy as it went, as addresses; None of what went before this was written down.
    copied_to = models.JSONField(null=True, blank=True)
    # When it was found to be overtaken; `last_error` says by what.
    dropped_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.subject} to {self.to}"
