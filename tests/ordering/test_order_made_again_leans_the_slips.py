"""A remake for a wrong measure by the caller feeds the shares of the family's slips; another cause does not."""

import pytest
from django.utils import timezone

from ordering.events import make_again, shipped
from ordering.publish import publish_windows
from ordering.states import Cause
from sizing.models import Family
from tests.ordering.placed import FACTORY, MANAGER, load_shop, sent_order

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(("cause", "raised"), [(Cause.CALLER, True), (Cause.CARRIER, False)])
def test_cause_decides(cause, raised):
    """Only what the caller measured wrongly says that callers measure wrongly."""
    load_shop()
    order, sent = sent_order()
    line = order.lines.get()
    shipped(sent.pk, {line.pk: line.quantity}, timezone.localdate(), FACTORY)
    make_again(line.pk, 1, cause, "came back", MANAGER, tells=False)
    publish_windows()
    assert (Family.objects.get(code="otter-liner").slip_factor > 1) is raised
