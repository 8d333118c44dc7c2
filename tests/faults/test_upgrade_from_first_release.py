"""A shop of the first release, brought to the present schema, keeps every row, amount and link."""

from decimal import Decimal

import pytest

from quotes.scraps import by_itself, scraps_of
from tests.faults.first_release import KEY
from tests.faults.fresh import fresh_database, once, told


@pytest.fixture(scope="module")
def fresh_shop(tmp_path_factory):
    """What the upgraded shop says."""
    folder = tmp_path_factory.mktemp("first")

    def upgrade():
        with fresh_database(folder, "first") as database:
            return told(database, "-m", "tests.faults.first_release", SECRET_KEY=KEY)

    return once(folder, "first_release", upgrade)


def test_everything_agrees(fresh_shop):
    """`verify` has nothing to say of it."""
    assert fresh_shop["rows"] > 1500
    assert fresh_shop["findings"] == []


def test_same_amounts(fresh_shop):
    """Quotes and orders come to what they came to when they were written."""
    assert fresh_shop["quotes"] == [
        "533.54", "194.92", "88.67", "214.40", "226.57", "403.91", "403.91",
    ]  # fmt: skip
    assert [Decimal(total) for total in fresh_shop["orders"]] == [
        Decimal(total) for total in ("403.91", "403.91", "576.60", "36.80", "168.80")
    ]


def test_customers_are_written_to_as_before(fresh_shop):
    """No upgrade begins to remind a shop's customers; its owner does."""
    assert fresh_shop["reminds"] == [False]


def test_customers_are_found_as_those_of_today(fresh_shop):
    """What a customer is found by is written as `scraps_of` writes it now."""
    assert len(fresh_shop["scraps"]) > 3
    for scraps in fresh_shop["scraps"]:
        said = [line for line in scraps.splitlines() if line != by_itself(line[3:])]
        assert scraps == scraps_of(said, [])
    assert any(f"\n{by_itself('p')}\n" in scraps for scraps in fresh_shop["scraps"])


def test_calls_are_found_as_those_of_today(fresh_shop):
    """What each call is found by is what the desk would write of it now."""
    assert len(fresh_shop["calls"]) > 3
    for scraps, of_today in fresh_shop["calls"]:
        assert scraps == of_today != ""


@pytest.mark.parametrize("page", ["quote", "order", "quote by its link", "order by its link"])
def test_pages_open(page, fresh_shop):
    """A quote and its order are read at the desk and by the links that went out then."""
    status, *amounts = fresh_shop["pages"][page]
    assert status == "200"
    if page.startswith("quote"):
        assert "403.91" in amounts


def test_enquiry_opens(fresh_shop):
    """A factory's link of then opens its enquiry with the answer that was given."""
    status, *amounts = fresh_shop["pages"]["enquiry by its link"]
    assert (status, amounts[:1]) == ("200", ["131.40"])
