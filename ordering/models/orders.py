"""Orders, their lines, factory orders and the log of what happened to them.

The log (`Event`) is the truth. What `Order`, `OrderLine` and `FactoryOrder` hold of a state is a copy
for lists and searches, made from the log by `ordering.events`, which alone writes any of this.
"""

from __future__ import annotations

from typing import Any, NoReturn

from django.db import models
from djmoney.models.fields import MoneyField

from ordering.models.history import SaidWeeks
from ordering.states import Act, Cause, Happened, Step
from quotes.models import Acceptance, Customer, QuoteLine
from sizing.models import Factory, Family, Part
from sizing.wording import gettext as _


class Order(models.Model):
    """What one customer has ordered at once: from an accepted quote, or taken by hand."""

    # Its index is `orders_of_customer`.
    customer = models.ForeignKey(Customer, models.PROTECT, related_name="orders", db_index=False)
    acceptance = models.OneToOneField(Acceptance, models.PROTECT, null=True, related_name="order")
    # The page it was typed into by hand: a page sent twice makes one order.
    page = models.UUIDField(null=True, unique=True, editable=False)
    currency = models.CharField(max_length=3)
    total = models.DecimalField(max_digits=14, decimal_places=4, null=True)
    deposit_due = models.DecimalField(max_digits=14, decimal_places=4, default=0)
    deposit_paid = models.DecimalField(max_digits=14, decimal_places=4, default=0)
    pickup = models.BooleanField("picked up at the counter", default=False)
    ship_to = models.JSONField(default=list)
    town = models.CharField(max_length=120, blank=True)
    # Where notices go; blank: this customer is told by phone.
    email = models.EmailField(blank=True)
    # Kinds of notice the customer does not want.
    unwanted = models.JSONField(default=list)
    note = models.TextField(blank=True)
    # The number under which the customer's own books have it.
    their_number = models.CharField("their order number", max_length=40, blank=True, default="")
    # The day by which the customer needs it, as said in the request.
    needed_by = models.DateField(null=True)
    taken_by = models.CharField(max_length=150, blank=True)
    placed_on = models.DateField()
    is_open = models.BooleanField(default=True)
    # The day the product last looked whether its windows have moved.
    watched_on = models.DateField(null=True)
    # How many events it has; the last one's number.
    version = models.PositiveIntegerField(default=0)
    nonce = models.CharField(max_length=64, editable=False)
    token_hash = models.CharField(max_length=64, unique=True, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        indexes = [
            # In part: of a million orders a few are open, and no statistics have to tell the database.
            models.Index(fields=["-id"], condition=models.Q(is_open=True), name="orders_open"),
            models.Index(
                fields=["watched_on"], condition=models.Q(is_open=True), name="orders_to_watch"
            ),
            models.Index(fields=["placed_on"], name="orders_of_a_month"),
            # What is found, in its own order: the open ones first.
            models.Index(fields=["-is_open", "-id", "customer"], name="orders_found"),
            # The same of some customers: put in order without a look at the orders themselves.
            models.Index(fields=["customer", "-is_open", "-id"], name="orders_of_customer"),
            models.Index(fields=["taken_by", "-is_open", "-id"], name="orders_of_clerk"),
        ]

    def __str__(self) -> str:
        return f"Order {self.number}"

    @property
    def number(self) -> str:
        return f"C-{self.pk:05d}"

    @property
    def known_as(self) -> str:
        """Its number with the customer's own beside it, for the customer."""
        if not self.their_number:
            return self.number
        return _("{order} (your number {theirs})").format(
            order=self.number, theirs=self.their_number
        )

    @property
    def is_picked_up(self) -> bool:
        """Whether it waits at the counter: agreed, or nobody has said where else it goes."""
        return self.pickup or not self.ship_to


class FactoryOrder(models.Model):
    """Lines of one or many orders, sent to one factory in one paper."""

    factory = models.ForeignKey(Factory, models.PROTECT, related_name="orders")
    note = models.TextField(blank=True)
    by = models.CharField(max_length=150, blank=True)
    sent_on = models.DateField()
    # None until the factory has answered anything.
    answered_on = models.DateField(null=True)
    chased_on = models.DateField(null=True)
    # What the factory asks or says besides dates, since when, as long as nobody of the desk has dealt with it.
    said = models.TextField(blank=True, default="")
    said_on = models.DateField(null=True)
    nonce = models.CharField(max_length=64, editable=False)
    token_hash = models.CharField(max_length=64, unique=True, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-id"]
        indexes = [
            models.Index(
                fields=["said_on"], condition=models.Q(said_on__isnull=False), name="factory_said"
            )
        ]

    def __str__(self) -> str:
        return f"Factory order {self.number}"

    @property
    def number(self) -> str:
        return f"F-{self.pk:05d}"


class OrderLine(SaidWeeks):
    """One line. `number` is its place in the order, from 1; `cancelled` and everything from `step` on
    are copies of the log."""

    order = models.ForeignKey(Order, models.PROTECT, related_name="lines")
    number = models.PositiveSmallIntegerField()
    quote_line = models.ForeignKey(QuoteLine, models.PROTECT, null=True, related_name="order_lines")
    part = models.ForeignKey(Part, models.PROTECT, null=True, related_name="order_lines")
    family = models.ForeignKey(Family, models.PROTECT, null=True, related_name="order_lines")
    # Who makes it; None: it comes from the shop's own shelf.
    factory = models.ForeignKey(Factory, models.PROTECT, null=True, related_name="order_lines")
    factory_order = models.ForeignKey(FactoryOrder, models.PROTECT, null=True, related_name="lines")
    description = models.CharField(max_length=500)
    quantity = models.PositiveIntegerField()
    cancelled = models.PositiveIntegerField(default=0)
    sold_as = models.CharField(max_length=5, default="piece")
    unit_price = MoneyField(max_digits=14, decimal_places=4, null=True, default_currency=None)
    remake_of = models.ForeignKey("self", models.PROTECT, null=True, related_name="remakes")
    cause = models.CharField(max_length=16, blank=True, choices=Cause.choices())

    step = models.CharField(max_length=16, choices=Step.choices(), default=Step.PLACED)
    is_open = models.BooleanField(default=True)
    version = models.PositiveIntegerField(default=0)
    sent_on = models.DateField(null=True)
    left_on = models.DateField(null=True)
    promised_on = models.DateField(null=True)
    # Since when its factory says that it can't make it.
    refused_on = models.DateField(null=True)
    # The window last told to the customer.
    told_earliest = models.DateField(null=True)
    told_likely = models.DateField(null=True)
    told_latest = models.DateField(null=True)
    # What it needs somebody for (`attention.Need`), why, and the working days at stake: see `ordering.needs`.
    need = models.PositiveSmallIntegerField(null=True)
    need_why = models.CharField(max_length=500, blank=True, default="")
    need_days = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["order", "number"]
        constraints = [
            models.UniqueConstraint(fields=["order", "number"], name="one_line_a_number")
        ]
        indexes = [
            models.Index(
                fields=["step", "factory"], condition=models.Q(is_open=True), name="lines_open"
            ),
            models.Index(fields=["left_on"], name="lines_that_left"),
            # Asked of each order of a list: whether it has one of the family.
            models.Index(fields=["family", "order"], name="lines_of_family"),
            models.Index(
                fields=["-need_days", "-need", "id"],
                condition=models.Q(need__isnull=False),
                name="lines_in_need",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.order.number}/{self.number}"

    @property
    def going(self) -> int:
        """The pieces still wanted."""
        return self.quantity - self.cancelled

    @property
    def part_number(self) -> str:
        return self.part.part_number if self.part else ""


# What `states.LineState` says of a line by its log, asked of the rows: `awaits_factory`, and `is_expected`.
AWAITS_FACTORY = models.Q(is_open=True, factory__isnull=False, left_on=None)
STILL_EXPECTED = AWAITS_FACTORY & models.Q(refused_on=None)


class NeverChanged(Exception):
    """Something tried to change or delete what has happened."""

    def __init__(self) -> None:
        super().__init__(
            "What has happened can't be changed or deleted; write down what is right now."
        )


class EventQuerySet(models.QuerySet):
    def update(self, **fields: Any) -> NoReturn:
        raise NeverChanged

    def delete(self) -> NoReturn:
        raise NeverChanged

    def bulk_update(self, *args: Any, **kwargs: Any) -> NoReturn:
        raise NeverChanged

    def forget_why(self, word: str) -> int:
        """The one exception, for a customer who is erased: what somebody typed, and nothing else."""
        return super().update(why=word)


class Event(models.Model):
    """One thing that happened to lines of one order. Written once, never changed.

    `pieces` is {line's number: how many}; `data` what the act needs besides (see `states`).
    """

    order = models.ForeignKey(Order, models.PROTECT, related_name="events")
    number = models.PositiveIntegerField()
    act = models.CharField(max_length=16, choices=Act.choices())
    pieces = models.JSONField(default=dict)
    data = models.JSONField(default=dict)
    # The day it happened, which may be before the day it was written down.
    on = models.DateField()
    why = models.CharField(max_length=500, blank=True)
    by = models.CharField(max_length=150)
    at = models.DateTimeField(auto_now_add=True)

    objects = EventQuerySet.as_manager()

    class Meta:
        ordering = ["order", "number"]
        constraints = [
            # Of two writers of one order at the same instant the database refuses the second.
            models.UniqueConstraint(fields=["order", "number"], name="one_event_a_number")
        ]

    def __str__(self) -> str:
        return f"{self.order.number} event {self.number}: {self.get_act_display()}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise NeverChanged
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        raise NeverChanged

    def as_happened(self) -> Happened:
        """As `ordering.replay` takes it."""
        return Happened(
            number=self.number,
            act=Act(self.act),
            on=self.on,
            pieces={int(number): count for number, count in self.pieces.items()},
            data=self.data,
            why=self.why,
            role=self.data.get("role", "manager"),
        )


class ToldWindow(models.Model):
    """A window as it was told to a customer: what the desk's record is worked out from."""

    line = models.ForeignKey(OrderLine, models.PROTECT, related_name="told")
    event = models.ForeignKey(Event, models.PROTECT, related_name="told")
    told_on = models.DateField(db_index=True)
    earliest = models.DateField()
    likely = models.DateField()
    latest = models.DateField()
    basis = models.CharField(max_length=500)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.line}: {self.earliest} to {self.latest}"


class OrderWord(models.Model):
    """A word that an order is found by, in plain lower case (see `lists`)."""

    order = models.ForeignKey(Order, models.CASCADE, related_name="words")
    word = models.CharField(max_length=40)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["order", "word"], name="one_word_an_order")]
        indexes = [
            # With the order, so that none has to be looked up; in the form that "begins with" is asked in, whatever
            # the database's language.
            models.Index(
                fields=["word", "order"],
                name="words_found",
                opclasses=["varchar_pattern_ops", "int8_ops"],
            )
        ]

    def __str__(self) -> str:
        return self.word
