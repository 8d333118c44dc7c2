"""Reading again replaces what stands in the boxes, so it asks first when the clerk changed them."""

from quotes.models import Request
from tests.quotes.counter_page import fields_of, words_of
from tests.quotes.pasted_page import CLEAN, read, send

LONGER = CLEAN.replace("qty 2", "qty 5")


def test_untouched_is_read_at_once(clerk, liner):
    """Nothing was changed in the boxes: the new text is read without a question."""
    page = send(clerk, read(clerk, CLEAN), "read", text=LONGER)
    assert page.status_code == 200
    assert fields_of(page)["o0-quantity"] == "5"


def test_changes_are_named_first(clerk, liner):
    """Changed boxes are named with both values, and nothing is replaced yet."""
    page = send(clerk, read(clerk, CLEAN), "read", text=LONGER, **{"o0_m-opening": "47 3/4"})
    assert page.status_code == 409
    assert "opening 1: opening 47 7/8 47 3/4" in words_of(page)
    fields = fields_of(page)
    assert (fields["o0-m-opening"], fields["o0-quantity"]) == ("47 3/4", "2")
    assert fields["text"] == LONGER


def test_wrong_boxes_are_asked_for_too(clerk, liner):
    """A count that is no number is no reason to drop what was typed."""
    page = send(clerk, read(clerk, CLEAN), "read", o0_quantity="a few")
    assert page.status_code == 409
    assert fields_of(page)["o0-quantity"] == "a few"


def test_replaced_knowingly(clerk, liner):
    """Said once more, the text is read and the boxes hold what it says."""
    page = send(clerk, read(clerk, CLEAN), "read anyway", text=LONGER, **{"o0_m-opening": "47 3/4"})
    fields = fields_of(page)
    assert (fields["o0-m-opening"], fields["o0-quantity"]) == ("47 7/8", "5")


def test_by_another_family(clerk, liner, balance):
    """Read again for another family, the boxes are that family's."""
    page = send(clerk, read(clerk, CLEAN), "read", family="heron-balance")
    assert fields_of(page)["read_by"] == "heron-balance"
    assert "o0-m-upper_glass" not in fields_of(page)


def test_change_that_was_not_read(clerk, liner):
    """A text that was changed and not read makes no request unawares."""
    page = read(clerk, CLEAN)
    again = send(clerk, page, "make", text=LONGER, o0_right="on")
    assert again.status_code == 422
    assert "The message was changed after it was read" in words_of(again)
    made = send(clerk, again, "make", unread="on")
    assert made.status_code == 302
    request = Request.objects.get()
    assert (request.note, request.openings.get().quantity) == (LONGER, 2)


def test_line_ends_are_no_change(clerk, liner):
    """A browser's own line ends do not count as a change of the message."""
    page = read(clerk, CLEAN)
    made = send(clerk, page, "make", text=CLEAN.replace("\n", "\r\n"), o0_right="on")
    assert made.status_code == 302


def test_emptied_box(clerk, liner):
    """An emptied message cannot be read again; the boxes and what was read stay."""
    again = send(clerk, read(clerk, CLEAN), "read", text="")
    assert again.status_code == 422
    assert fields_of(again)["o0-m-opening"] == "47 7/8"
    assert "opening 47 7/8" in words_of(again)
