"""What a price is made of besides the part's own: dated data, never changed, only followed by newer, or taken back before its first day is over."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from djmoney.models.fields import MoneyField

from sizing.models import Family

PERCENT = {
    "max_digits": 7,
    "decimal_places": 4,
    "validators": [MinValueValidator(0), MaxValueValidator(100)],
}


class Dated(models.Model):
    """A line of a list that counts from a day on; lines that agree in `LIST` and the day are one list."""

    LIST: tuple[str, ...]

    in_force_from = models.DateField()

    class Meta:
        abstract = True

    @property
    def list_key(self) -> dict[str, object]:
        """What finds the lines of this one's list, itself among them."""
        return {name: getattr(self, name) for name in (*self.LIST, "in_force_from")}

    @property
    def list_name(self) -> str:
        return str(self)


class Terms(Dated):
    """What customers under these terms get: percent off, percent paid at acceptance, days to pay."""

    LIST = ("name",)

    name = models.CharField(max_length=60)
    discount_percent = models.DecimalField(default=0, **PERCENT)
    deposit_percent = models.DecimalField(default=0, **PERCENT)
    net_days = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["name", "-in_force_from"]
        verbose_name_plural = "terms"
        constraints = [
            models.UniqueConstraint(fields=["name", "in_force_from"], name="one_terms_a_day")
        ]

    def __str__(self) -> str:
        return self.name


class QuantityBreak(Dated):
    """From this many of a family in one quote, this much off; no family: each without its own list."""

    LIST = ("family_id",)

    family = models.ForeignKey(Family, models.CASCADE, null=True, blank=True)
    from_quantity = models.PositiveIntegerField(validators=[MinValueValidator(1)])
    percent = models.DecimalField(**PERCENT)

    class Meta:
        ordering = ["family", "-in_force_from", "from_quantity"]

    def __str__(self) -> str:
        return f"from {self.from_quantity}: {self.percent} % off"

    @property
    def list_name(self) -> str:
        return f"quantity breaks of {self.family or 'all without their own'}"


class FreightStep(Dated):
    """A parcel within these limits costs this much. Limits in 1/320 mm and nanograms; none: no limit."""

    LIST = ("carrier", "price_currency")

    carrier = models.CharField(max_length=80)
    length = models.IntegerField(null=True, blank=True)
    length_and_girth = models.IntegerField(null=True, blank=True)
    weight = models.BigIntegerField(null=True, blank=True)
    price = MoneyField(max_digits=14, decimal_places=4, default_currency=None)

    class Meta:
        ordering = ["carrier", "-in_force_from", "price"]

    def __str__(self) -> str:
        return f"{self.carrier}, {self.price}"

    @property
    def list_name(self) -> str:
        return f"{self.carrier}, in {self.price_currency}"


class TaxRate(Dated):
    """One authority's sales tax: a blank region or town means all of the country or region."""

    LIST = ("name", "country", "region", "town")

    name = models.CharField(max_length=80)
    country = models.CharField(max_length=2)
    region = models.CharField(max_length=3, blank=True)
    town = models.CharField(max_length=120, blank=True)
    percent = models.DecimalField(**PERCENT)
    on_freight = models.BooleanField(default=False)

    class Meta:
        ordering = ["country", "region", "town", "-in_force_from"]

    def __str__(self) -> str:
        return f"{self.name} {self.percent} %"
