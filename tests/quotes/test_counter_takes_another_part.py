"""A clerk who knows better takes another part; the reason, the name and the desk's word are kept."""

from quotes.models import Request
from tests.quotes.conftest import clerk_named
from tests.quotes.counter_page import fields_of, page, words_of

TYPED = {"m-upper_glass": "20 1/4", "m-lower_glass": "20 1/4", "m-opening": "47 7/8",
         "m-sash_weight": "12", "finish": "ash"}  # fmt: skip
TAKEN = {"override": "ohl-06ma", "override_reason": "old liner is marked 06"}


def test_taken_part_is_kept(clerk, liner):
    """Beside the part taken stand who took it, why, and what the desk had said."""
    clerk.post("/counter/", page({**TYPED, **TAKEN}))
    opening = Request.objects.get().openings.get()
    assert opening.override_part.part_number == "OHL-06MA"
    assert (opening.override_by, opening.override_reason) == ("mira", "old liner is marked 06")
    assert (opening.part.part_number, opening.answer["part_number"]) == ("OHL-05MA", "OHL-05MA")


def test_taken_part_is_shown(clerk, liner):
    """The page says that the clerk took another part, while the desk's own stays in sight."""
    shown = words_of(clerk.post("/counter/answer/?o=0", page({**TYPED, **TAKEN})))
    assert "Taken by the clerk OHL-06MA glass 22, opening 51 3/8" in shown
    assert "Because: old liner is marked 06" in shown
    assert "The desk says: one part" in shown
    assert "OHL-05MA" in shown


def test_who_took_it_stays(clerk, client, liner):
    """Another clerk who changes something else does not become the one who took the part."""
    saved = clerk.post("/counter/", page({**TYPED, **TAKEN}))
    client.force_login(clerk_named("joe"))
    fields = fields_of(client.get(saved["Location"]))
    client.post(saved["Location"], {**fields, "caller": "Ann"})
    request = Request.objects.get()
    assert (request.changed_by, request.openings.get().override_by) == ("joe", "mira")


def test_part_given_back(clerk, liner):
    """Emptying the box returns to what the desk says."""
    saved = clerk.post("/counter/", page({**TYPED, **TAKEN}))
    fields = fields_of(clerk.get(saved["Location"]))
    clerk.post(saved["Location"], {**fields, "o0-override": "", "o0-override_reason": ""})
    opening = Request.objects.get().openings.get()
    assert (opening.override_part, opening.override_by) == (None, "")


def test_marks_are_no_matter(clerk, liner):
    """A number read off an old part is that part however its marks are typed."""
    for typed in ("ohl 06 ma", "OHL06MA", "OHL-06-MA"):
        said = page({**TYPED, "override": typed, "override_reason": "old liner is marked so"})
        assert "Taken by the clerk OHL-06MA glass 22" in words_of(
            clerk.post("/counter/answer/?o=0", said)
        )
        clerk.post("/counter/", said)
        assert Request.objects.first().openings.get().override_part.part_number == "OHL-06MA"


def test_a_worn_number_names_the_parts_that_hold_it(clerk, liner):
    """What can still be read of it, with a mark for a letter that can't, leads to the parts that it may be of."""
    for worn, names in (
        ("06ma", "parts that hold it: OHL-06MA"),
        ("OHL-06", "parts that hold it: OHL-06LA, OHL-06LS, OHL-06LC, OHL-06MA"),
        ("OHL-0?HC", "parts that hold it: OHL-01HC, OHL-02HC"),
    ):
        said = page({**TYPED, "override": worn})
        told = words_of(clerk.post("/counter/answer/?o=0", said)).replace(" ,", ",")
        assert "Not taken" in told and names in told
    many = words_of(clerk.post("/counter/answer/?o=0", page({**TYPED, "override": "OHL"})))
    assert " more" in many and "OHL-04" not in many
