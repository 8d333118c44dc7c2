"""Customers with their contacts and addresses. Written only by `quotes.desk`."""

from django.db import models


class Customer(models.Model):
    """Whom a quote is for. A merged one stays, empty, and points to the one it went into.

    `scraps` holds every word and digit the customer can be found by, kept up by the desk.
    """

    class Kind(models.TextChoices):
        HOMEOWNER = "homeowner", "Homeowner"
        CONTRACTOR = "contractor", "Contractor"
        MANAGER = "manager", "Property manager"

    class Channel(models.TextChoices):
        EMAIL = "email", "E-mail"
        PHONE = "phone", "Phone"
        COUNTER = "counter", "At the counter"

    class Language(models.TextChoices):
        ENGLISH = "en", "English"
        SPANISH = "es", "Spanish"

    name = models.CharField(max_length=300)
    kind = models.CharField(max_length=12, choices=Kind.choices, default=Kind.HOMEOWNER)
    # The name of dated terms (see `prices.Terms`); blank: list price.
    terms = models.CharField(max_length=60, blank=True)
    unit = models.CharField(
        "measures in",
        max_length=2,
        choices=[("in", "inches"), ("mm", "millimetres")],
        default="in",
    )
    channel = models.CharField(
        "best reached by", max_length=10, choices=Channel.choices, default=Channel.EMAIL
    )
    language = models.CharField(max_length=2, choices=Language.choices, default=Language.ENGLISH)
    exemption_number = models.CharField("tax exemption number", max_length=60, blank=True)
    exemption_expires = models.DateField("exemption holds until", null=True, blank=True)
    note = models.TextField(blank=True)
    scraps = models.TextField(blank=True, editable=False)
    merged_into = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, editable=False, related_name="merged"
    )
    created_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)

    class Meta:
        ordering = ["name", "id"]
        indexes = [
            # Those that are merged into none, by name: SQLite takes the first, PostgreSQL the second.
            models.Index(fields=["merged_into", "name", "id"], name="customers_as_listed"),
            models.Index(fields=["merged_into", "kind", "name", "id"], name="customers_by_kind"),
            models.Index(
                fields=["name", "id"],
                condition=models.Q(merged_into__isnull=True),
                name="customers_by_name",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Contact(models.Model):
    """A person to speak to. `dialled` is the phone in E.164 where it could be read as one."""

    customer = models.ForeignKey(Customer, models.CASCADE, related_name="contacts")
    name = models.CharField(max_length=300, blank=True)
    role = models.CharField(max_length=80, blank=True)
    phone = models.CharField(max_length=60, blank=True)
    dialled = models.CharField(max_length=20, blank=True, editable=False, db_index=True)
    email = models.EmailField("e-mail", blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.name or self.email or self.phone or "no name"


class Address(models.Model):
    """Where goods go and tax is due: country and region by ISO 3166."""

    customer = models.ForeignKey(Customer, models.CASCADE, related_name="addresses")
    label = models.CharField(max_length=80, blank=True)
    street = models.CharField(max_length=300, blank=True)
    town = models.CharField(max_length=120, blank=True)
    region = models.CharField("state or province", max_length=3, blank=True)
    postcode = models.CharField(max_length=20, blank=True)
    country = models.CharField(max_length=2, default="US")

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "addresses"

    def __str__(self) -> str:
        return ", ".join(self.lines) or "no address"

    @property
    def lines(self) -> list[str]:
        """The address as it is written, empty lines left out."""
        place = " ".join(part for part in (self.region, self.postcode) if part)
        town = ", ".join(part for part in (self.town, place) if part)
        return [line for line in (self.street, town, self.country) if line]


class Merge(models.Model):
    """What a merge did: the customer that went in, as it was, and who merged it."""

    kept = models.ForeignKey(Customer, models.CASCADE, related_name="merges")
    gone = models.JSONField()
    by = models.CharField(max_length=150)
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"{self.gone.get('name')} into {self.kept}"


class Erasure(models.Model):
    """A customer whose words and name are gone for good; what was sold stays. Says nothing of who it was."""

    customer = models.OneToOneField(Customer, models.PROTECT, related_name="erasure")
    by = models.CharField(max_length=150)
    at = models.DateTimeField()

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"customer {self.customer_id} erased by {self.by}"
