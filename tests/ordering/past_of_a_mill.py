"""An invented factory with a small past, stored, for the tests that need one."""

from datetime import date, timedelta

from ordering.models import PastOrder
from sizing.models import Factory, Family
from sizing.workdays import Calendar

CALENDAR = Calendar("US")


def mill(**families: tuple[int, int]) -> Factory:
    """A factory with families declared as code=(least weeks, most weeks)."""
    factory = Factory.objects.create(name="Fell Mill")
    for code, (low, high) in families.items():
        Family.objects.create(
            code=code, name=code, factory=factory, unit="in", weight_unit="lb", currency="USD",
            lead_weeks_min=low, lead_weeks_max=high,
        )  # fmt: skip
    return factory


def past(
    family: str, orders: int, days: int, first: date = date(2024, 1, 8), promise: int | None = None
):
    """One order every fourth day; the i-th ships after `days` working days, give or take two."""
    stored = Family.objects.get(code=family)
    rows = []
    for i in range(orders):
        placed = CALENDAR.add_workdays(first + timedelta(days=4 * i), 0)
        rows.append(
            PastOrder(
                reference=f"{family}-{i}",
                family=stored,
                part_number=f"{family}{i % 3}",
                quantity=1 + i % 4,
                ordered_on=placed,
                shipped_on=CALENDAR.add_workdays(placed, days + (i * 7) % 5 - 2),
                promised_on=CALENDAR.add_workdays(placed, promise) if promise else None,
            )
        )
    return PastOrder.objects.bulk_create(rows)
