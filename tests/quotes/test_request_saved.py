"""What a stored request holds."""

from dataclasses import replace
from datetime import timedelta

import pytest
from django.utils import timezone

from quotes.desk.requests import RequestError, StaleError, save_request
from quotes.lists.requests import said_of
from quotes.models import Opening, Request
from quotes.said import SaidOpening, SaidRequest
from sizing import tables

GLASS = SaidOpening(
    "otter-liner",
    label="kitchen left",
    measures={"upper_glass": "20 1/4", "lower_glass": "20 1/4", "opening": "47 7/8",
              "sash_weight": "12 lb"},
    finish="ash",
    quantity=2,
)  # fmt: skip


def saved(*openings: SaidOpening, **more) -> Request:
    return save_request(SaidRequest(caller="Ann", openings=openings), by="mira", **more)


def test_answer_is_stored(liner):
    """The part, the answer and the revision that gave it stand beside the words."""
    opening = saved(GLASS).openings.get()
    assert opening.said == dict(GLASS.measures)
    assert opening.part.part_number == "OHL-05MA"
    assert opening.answer["outcome"] == "part"
    assert opening.answer["row"]["glass"] == "20 1/4"
    assert opening.revision == liner


def test_read_back_as_said(liner):
    """A request reads back as it was said."""
    said = SaidRequest(
        caller="Ann",
        phone="(802) 555-0131",
        openings=(GLASS, replace(GLASS, cannot=frozenset({"long_point"}), sash={"panes": "2"})),
    )
    back = said_of(save_request(said, by="mira"))
    assert replace(back, openings=tuple(replace(o, key=None) for o in back.openings)) == said


def test_openings_keep_themselves(liner):
    """Taking one out and adding one leaves the others the same stored openings."""
    request = saved(GLASS, replace(GLASS, label="b"), replace(GLASS, label="c"))
    a, b, c = said_of(request).openings
    request = save_request(
        SaidRequest(caller="Ann", openings=(a, c, replace(GLASS, label="d"))),
        by="mira", pk=request.pk, version=1,
    )  # fmt: skip
    found = list(request.openings.values_list("position", "label", "pk"))
    assert found[:2] == [(0, "kitchen left", a.key), (1, "c", c.key)]
    assert found[2][:2] == (2, "d")
    assert not Opening.objects.filter(pk=b.key).exists()


def test_old_request_keeps_its_table(liner):
    """A newer table changes no stored answer until it is asked for."""
    request = saved(GLASS)
    newer = tables.import_workbook(
        replace_price(liner), "later", [], timezone.localdate() + timedelta(days=0), "test"
    )
    (said,) = said_of(request).openings
    request = save_request(
        SaidRequest(caller="Anne", openings=(said,)), by="mira", pk=request.pk, version=1
    )
    assert request.openings.get().revision == liner
    renewed = replace(said, renew=True)
    request = save_request(
        SaidRequest(caller="Anne", openings=(renewed,)), by="mira", pk=request.pk, version=2
    )
    assert request.openings.get().revision == newer


def replace_price(revision):
    from sizing.lookup import table_of

    table = table_of(revision)
    first, *rest = table.parts
    return replace(table, parts=(replace(first, price=first.price + 1), *rest))


def test_stale_write_changes_nothing(liner):
    """A write on an older version raises and leaves the request as it was."""
    request = saved(GLASS)
    (said,) = said_of(request).openings
    with pytest.raises(StaleError):
        saved(replace(said, label="other"), pk=request.pk, version=0)
    assert request.openings.get().label == "kitchen left"


def test_refused_part_changes_nothing(liner):
    """A refused opening undoes the whole write."""
    with pytest.raises(RequestError, match="is no part of"):
        saved(GLASS, replace(GLASS, override="nope", override_reason="x"))
    assert not Request.objects.exists()
