"""The shop itself, who is asked to join its desk, and the programs that may ask it questions.

Written only by `quotes.desk`; news by `ordering.news`.
"""

from __future__ import annotations

from typing import Literal

from django.conf import settings
from django.db import models
from django.utils import timezone

# Where Letter is the paper in use, by the Unicode CLDR (paper sizes by territory).
LETTER_COUNTRIES = frozenset(
    {"BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"}
)


class Shop(models.Model):
    """The one shop of this installation (always row 1): what papers and mails begin and end with."""

    ONLY = 1

    name = models.CharField("shop's name", max_length=120)
    address = models.CharField(max_length=300, blank=True)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField("e-mail", blank=True)
    # ISO 3166: where goods picked up at the counter are taxed.
    country = models.CharField(max_length=2, default="US")
    region = models.CharField("state or province", max_length=3, blank=True)
    town = models.CharField(max_length=120, blank=True)
    unit = models.CharField(
        "measures in",
        max_length=2,
        choices=[("in", "inches"), ("mm", "millimetres")],
        default="in",
    )
    currency = models.CharField(max_length=3, default="USD")
    # A small PNG in base64, as `quotes.logo` makes it: on the pages behind links and on quotes.
    logo = models.TextField(blank=True, default="", editable=False)
    # For customers, as typed: on quotes, in the mail that confirms one, and on the page of an order not paid yet.
    how_to_pay = models.TextField("how to pay", max_length=600, blank=True, default="")
    # One mail before a quote lapses (see `desk.lapsing`).
    remind_customers = models.BooleanField("remind customers before a quote lapses", default=True)
    # What papers are made for; blank: what the country prints on.
    paper = models.CharField(
        max_length=6,
        choices=[("", "As usual in the country"), ("letter", "Letter"), ("a4", "A4")],
        default="",
        blank=True,
    )
    # Who has to sign in with a code besides the password; everybody may.
    code_required = models.CharField(
        max_length=7,
        choices=[("", "Nobody"), ("owner", "Owners"), ("manager", "Managers and owners")],
        default="",
        blank=True,
    )
    # A sign-in that nobody has used for so long ends.
    idle_minutes = models.PositiveSmallIntegerField(default=120)
    # Words of people who never became customers, and of mails, go after so long; None: never.
    keep_months = models.PositiveSmallIntegerField(default=24, null=True, blank=True)

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="one_shop")]

    def __str__(self) -> str:
        return self.name

    @property
    def paper_size(self) -> Literal["letter", "a4"]:
        """The size of every paper: as chosen, else Letter where it is the usual one, else A4."""
        if self.paper in ("letter", "a4"):
            return self.paper
        return "letter" if self.country in LETTER_COUNTRIES or not self.country else "a4"

    @property
    def lines(self) -> tuple[str, ...]:
        """The name and how to reach the shop, as papers and mails give it."""
        return tuple(line for line in (self.name, self.address, self.phone, self.email) if line)


class Invitation(models.Model):
    """A person asked to join the desk. The link is good once, for a few days (see `quotes.links`)."""

    name = models.CharField(max_length=150)
    email = models.EmailField("e-mail")
    role = models.CharField(max_length=10)
    nonce = models.CharField(max_length=64, editable=False)
    token_hash = models.CharField(max_length=64, unique=True, editable=False)
    expires_at = models.DateTimeField()
    invited_by = models.CharField(max_length=150)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    # Who came of it.
    user = models.OneToOneField(settings.AUTH_USER_MODEL, models.SET_NULL, null=True, blank=True)
    used_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"{self.name}, {self.email}"

    @property
    def is_open(self) -> bool:
        return not (self.used_at or self.withdrawn_at) and self.expires_at > timezone.now()


class Integration(models.Model):
    """A program that may use the API. Its key is shown once and kept only as a hash."""

    name = models.CharField(max_length=60, unique=True)
    key_hash = models.CharField(max_length=64, unique=True, editable=False)
    made_by = models.CharField(max_length=150)
    made_at = models.DateTimeField(auto_now_add=True)
    switched_off_at = models.DateTimeField(null=True, blank=True)
    # Where it is told of news of its quotes and orders; the nonce makes the secret it knows them by.
    news_url = models.URLField(blank=True)
    news_nonce = models.CharField(max_length=64, blank=True, editable=False)
    news_since = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    @property
    def signature(self) -> str:
        """How requests and quotes say that a program made them."""
        return f"API: {self.name}"


class News(models.Model):
    """One thing that one program is told: written once for each fact, sent until it was taken.

    `fact` is the row it is about: a quote's issue, or an event of an order.
    """

    class What(models.TextChoices):
        QUOTE = "quote"
        ORDER = "order"

    integration = models.ForeignKey(Integration, models.CASCADE, related_name="news")
    what = models.CharField(max_length=5, choices=What.choices)
    fact = models.BigIntegerField()
    number = models.CharField(max_length=20)
    happened = models.CharField(max_length=40)
    at = models.DateTimeField()
    message_id = models.CharField(max_length=255)
    attempts = models.PositiveSmallIntegerField(default=0)
    last_error = models.CharField(max_length=500, blank=True)
    taken_at = models.DateTimeField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "news"
        constraints = [
            models.UniqueConstraint(fields=["integration", "what", "fact"], name="one_news_a_fact")
        ]

    def __str__(self) -> str:
        return f"{self.what} {self.number} {self.happened}"
