"""A window's basis reads on inside its brackets, also where it is a sentence of its own."""

import pytest
from django.utils import timezone

from quotes.lists.prices import lead_time
from sizing.models import PublishedWindow
from tests.quotes.shop import load_liner

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("basis", "read"),
    [
        (
            "The factory says it usually takes 4 to 8 weeks",
            "(the factory says it usually takes 4 to 8 weeks)",
        ),
        ("15 orders of this part", "(15 orders of this part)"),
    ],
)
def test_small_in_brackets(basis, read):
    revision = load_liner()
    PublishedWindow.objects.create(
        family=revision.family, earliest_days=5, likely_days=7, latest_days=10, basis=basis,
        published_at=timezone.now(),
    )  # fmt: skip
    assert lead_time(revision).endswith(read)
