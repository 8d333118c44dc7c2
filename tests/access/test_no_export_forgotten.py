"""Each workbook and CSV that the desk gives out is tried for formulas in test_no_formula_in_exports.py."""

from django.test import Client
from django.urls import reverse

from config.access import RULES
from sizing.columns import XLSX
from tests.access.test_no_formula_in_exports import EXPORTS
from tests.access.test_who_may_open_what import ADDRESSES


def test_none_is_forgotten(built, db):
    """Every address that gives out a workbook, to whoever may open it, is one of those that are tried."""
    client = Client(raise_request_exception=False)
    client.force_login(built[0]["owner"])
    found = set()
    for name in ADDRESSES:
        if not RULES[name].read or ":" in name:
            continue
        address = reverse(name, args=built[1].get(name, []))
        for asked in ("", "?as=xlsx"):
            page = client.get(address + asked)
            if page.get("Content-Type", "").startswith((XLSX, "text/csv")) and not (
                asked and "lists" in (client.get(address).context or {})
            ):
                found.add(name)
    # Of an order's papers the address says which.
    assert found | {"factory-order-paper"} == set(EXPORTS)
