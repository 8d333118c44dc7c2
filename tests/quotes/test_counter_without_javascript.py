"""Every step of the counter by its buttons alone."""

from quotes.models import Request
from tests.quotes.counter_page import fields_of, page, words_of

TYPED = {"m-upper_glass": "20 1/4", "m-lower_glass": "20 1/4", "m-opening": "47 7/8",
         "m-sash_weight": "12", "finish": "ash"}  # fmt: skip


def test_work_it_out(clerk, liner):
    """The button shows every answer and saves nothing."""
    response = clerk.post("/counter/", page(TYPED, {"m-upper_glass": "22"}, do="answer"))
    assert "OHL-05MA" in words_of(response)
    assert "Ask the caller" in words_of(response)
    assert not Request.objects.exists()


def test_add_an_opening(clerk, liner):
    """A new opening takes over family and finish; what was typed stays."""
    response = clerk.post("/counter/", page(TYPED, do="add", caller="Ann"))
    fields = fields_of(response)
    assert fields["openings"] == ["0", "1"]
    assert (fields["o0-m-opening"], fields["caller"]) == ("47 7/8", "Ann")
    assert (fields["o1-family"], fields["o1-finish"]) == ("otter-liner", "ash")


def test_family_changed_and_changed_back(clerk, liner, balance):
    """Numbers typed for one family come back when the family does."""
    other = clerk.post("/counter/", page({**TYPED, "family": "heron-balance"}, do="answer"))
    fields = fields_of(other)
    assert "o0-m-channel" in fields
    back = clerk.post("/counter/", {**fields, "o0-family": "otter-liner", "do": "answer"})
    assert fields_of(back)["o0-m-upper_glass"] == "20 1/4"


def test_save_and_open_again(clerk, liner):
    """A saved request opens with the same words in the same boxes."""
    saved = clerk.post("/counter/", page({**TYPED, "label": "kitchen left"}, caller="Ann Lowe"))
    fields = fields_of(clerk.get(saved["Location"]))
    assert fields["caller"] == "Ann Lowe"
    assert {name: fields[f"o0-{name}"] for name in TYPED} == TYPED
    assert fields["o0-label"] == "kitchen left"


def test_leave_an_opening_out(clerk, liner):
    """An opening ticked as left out is not saved."""
    typed = page({"label": "stays", **TYPED}, {"label": "goes", "gone": "on", **TYPED})
    clerk.post("/counter/", typed)
    assert [o.label for o in Request.objects.get().openings.all()] == ["stays"]


def test_nothing_typed_nothing_saved(clerk, liner):
    """An empty page is not kept as a request."""
    response = clerk.post("/counter/", page({}), follow=True)
    assert "nothing was saved" in words_of(response)
    assert not Request.objects.exists()


def test_no_table_in_force(clerk):
    """Without any size table the page says what is missing."""
    assert "No size table is in force yet" in words_of(clerk.get("/counter/"))
