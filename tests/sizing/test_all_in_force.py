"""The tables in force of all families at once are those that each family's own question gives."""

from datetime import date

import pytest
from django.db.models import QuerySet

from sizing.lookup import NoTableError, all_in_force, in_force
from sizing.models import Family, Revision
from tests.quotes.conftest import publish

pytestmark = pytest.mark.django_db
DAYS = [date(2020, 1, 1), date(2025, 6, 30), date(2025, 7, 1), date(2031, 1, 1)]


def one_by_one(day):
    for family in Family.objects.order_by("name"):
        try:
            yield in_force(family.code, day)
        except NoTableError:
            pass


@pytest.mark.parametrize("day", DAYS)
def test_as_one_by_one(day):
    """On any day: the latest that counts, the highest number of one day, no draft, in the order of the names."""
    for name in ("otter-liner", "heron-balance", "heron-strip"):
        publish(name)
    revisions = Revision.objects.order_by("pk")
    for revision, since in zip(revisions, (date(2025, 7, 1), date(2025, 1, 1), None), strict=True):
        # Past the guard of what is in force.
        QuerySet(Revision).filter(pk=revision.pk).update(in_force_from=since)
    first = revisions.first()
    for number, since in ((2, date(2025, 7, 1)), (3, date(2030, 1, 1))):
        Revision.objects.create(
            **{f.name: getattr(first, f.name) for f in Revision._meta.concrete_fields if f.name not in ("id", "number", "in_force_from", "digest")},
            number=number, in_force_from=since, digest=f"{number}" * 8,
        )  # fmt: skip
    assert all_in_force(day) == list(one_by_one(day))
