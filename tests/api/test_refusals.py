"""What the API refuses, it refuses in one sentence with where to mend it; nothing is half-written."""

from datetime import date

import pytest

from quotes.models import Request

pytestmark = pytest.mark.django_db

GOOD = {
    "key": "cart-000412",
    "openings": [{"family": "otter-liner", "measures": {"opening": "47"}}],
}


def opening(**more):
    return GOOD | {"openings": [*GOOD["openings"], {"family": "otter-liner"} | more]}


CASES = [
    ("no JSON", "/requests", "{", 400, None),
    ("a list", "/requests", "[]", 422, "body"),
    ("no body", "/resolve", None, 422, "body"),
    ("a list for an opening", "/resolve", {"family": "otter-liner", "openings": [[]]}, 422,
     "openings.0"),
    ("no opening", "/resolve", {"family": "otter-liner", "openings": []}, 422, "openings"),
    ("a list of measures", "/resolve", {"family": "otter-liner", "openings": [{"measures": []}]},
     422, "openings.0.measures"),
    ("a measure in a list", "/resolve",
     {"family": "otter-liner", "openings": [{"measures": {"opening": [4]}}]}, 422,
     "openings.0.measures.opening"),
    ("short key", "/requests", GOOD | {"key": "a"}, 422, "key"),
    ("no day", "/requests", GOOD | {"needed_by": "soon"}, 422, "needed_by"),
    ("no day to order on", "/when", {"questions": [{"order_on": "May"}]}, 422,
     "questions.0.order_on"),
    ("long name", "/requests", GOOD | {"caller": "x" * 121}, 422, "caller"),
    ("no key", "/requests", {"openings": GOOD["openings"]}, 422, "key"),
    ("a name too many", "/requests", GOOD | {"colour": "red"}, 422, "colour"),
    ("count as text", "/requests", opening(quantity="2"), 422, "openings.1.quantity"),
    ("count of zero", "/requests", opening(quantity=0), 422, "openings.1.quantity"),
    ("unread length", "/requests", opening(measures={"opening": "2-6"}), 422,
     "openings.1.measures.opening"),
    ("unknown measure", "/requests", opening(measures={"depth": "4"}), 422,
     "openings.1.measures.depth"),
    ("unread sash", "/requests", opening(measures={"upper_glass": "20"}, sash={
        "glass_width": "30", "thickness": "3 mm", "panes": "many", "frame": "wood"}), 422,
     "openings.1.sash.panes"),
    ("half a sash", "/requests", opening(sash={"glass_width": "30"}), 422, "openings.1.sash.panes"),
    ("sash of something else", "/requests", opening(sash={"hinges": "2"}), 422,
     "openings.1.sash.hinges"),
    ("unknown family", "/requests", opening(family="gate"), 404, None),
    ("a NUL in a family", "/requests", opening(family="otter\0liner"), 422, "openings.1.family"),
    ("a NUL in a family asked about", "/when", {"questions": [{"family": "otter\0liner"}]}, 422,
     "questions.0.family"),
    ("a NUL in a label", "/requests", opening(label="Kit\0chen"), 422, "openings.1.label"),
    ("a NUL in a finish", "/requests", opening(finish="sl\0ate"), 422, "openings.1.finish"),
    ("a NUL in a note", "/requests", GOOD | {"note": "a\0b"}, 422, "note"),
    ("half a character", "/requests", GOOD | {"caller": "a\ud800b"}, 422, "caller"),
    ("no e-mail", "/requests", GOOD | {"email": "ines at calloway"}, 422, "email"),
    ("e-mail with more behind it", "/requests", GOOD | {"email": "a@b.example, c@d.example"}, 422,
     "email"),
    ("a day that is none", "/requests", GOOD | {"needed_by": "2027-02-30"}, 422, "needed_by"),
    ("endless number", "/resolve",
     '{"family": "otter-liner", "openings": [{"measures": {"opening": 1e999}}]}', 422,
     "openings.0.measures.opening"),
    ("no number", "/resolve",
     '{"family": "otter-liner", "openings": [{"measures": {"opening": NaN}}]}', 422,
     "openings.0.measures.opening"),
    ("level", "/when", {"questions": [{}], "level": 1.5}, 422, "level"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("path", "body", "status", "where"), [c[1:] for c in CASES], ids=[c[0] for c in CASES]
)
def test_refused(web_shop, path, body, status, where):
    """Status, a sentence, the place in the body; and no request is stored, not even the good part."""
    response = web_shop.post(path, body)
    said = response.json()
    assert response.status_code == status
    assert said["error"].endswith(".")
    if where is not None:
        assert where in [one["where"] for one in said["problems"]]
    for one in said["problems"]:
        # Ours, not the checking library's.
        assert one["words"].endswith(".") and "nput" not in one["words"]
    assert not Request.objects.exists()


def test_same_key_twice(web_shop):
    """The same request under the same key is stored once; another one under it is refused."""
    first = web_shop.post("/requests", GOOD)
    again = web_shop.post("/requests", GOOD)
    assert first.json() == again.json()
    other = web_shop.post("/requests", GOOD | {"caller": "Bo"})
    assert other.status_code == 409
    assert "choose a new key" in other.json()["error"]
    assert Request.objects.count() == 1


def test_its_words_are_kept_as_the_counter_keeps_them(web_shop):
    """Blanks around them are none of theirs, a day is a day, and a phone what people write."""
    said = {
        "email": " ines@calloway.example ",
        "phone": " 802 555 0147, evenings ",
        "needed_by": "2027-03-01",
    }
    web_shop.post("/requests", GOOD | said)
    kept = Request.objects.get()
    assert (kept.email, kept.phone) == ("ines@calloway.example", "802 555 0147, evenings")
    assert kept.needed_by == date(2027, 3, 1)


def test_nothing_to_quote(web_shop):
    """A request that still has a question open gets no quote yet, and the reason why."""
    number = web_shop.post("/requests", GOOD).json()["number"]
    response = web_shop.post(f"/requests/{number}/quote")
    assert response.status_code == 409
    assert "Answer first what is asked: Opening 1" in response.json()["error"]


def test_draft_is_not_accepted(web_shop):
    """What the desk has not issued cannot be accepted."""
    measures = {
        "upper_glass": "20 1/4",
        "lower_glass": "20 1/4",
        "opening": "47 7/8",
        "sash_weight": 12,
    }
    body = GOOD | {
        "caller": "Ines Calloway",
        "openings": [{"family": "otter-liner", "measures": measures, "finish": "slate"}],
    }
    number = web_shop.post("/requests", body).json()["number"]
    (quote,) = web_shop.post(f"/requests/{number}/quote").json()["quotes"]
    said = {"issue": 1, "name": "Ines Calloway", "confirmed": ["Opening 1"]}
    response = web_shop.post(f"/quotes/{quote['number']}/accept", said)
    assert response.status_code == 409
    assert response.json()["error"] == "Not issued yet."


@pytest.mark.parametrize(
    ("method", "path", "status", "words"),
    [
        ("GET", "/nothing", 404, "no call at this address"),
        ("POST", "/nothing", 404, "no call at this address"),
        ("DELETE", "/resolve", 405, "takes POST, not DELETE"),
        ("GET", "/orders/twelve", 422, "does not have the form"),
        ("GET", "/orders/C-00012", 404, "nothing by that number"),
    ],
)
def test_wherever_it_is_refused_the_shape_is_the_same(web_shop, method, path, status, words):
    """An address that is none and a method that it does not take are answered as JSON, too."""
    response = web_shop.call(method, path)
    assert response.status_code == status
    assert words in response.json()["error"]
    assert set(response.json()) == {"error", "problems"}


@pytest.mark.parametrize("size", [3_000_000, 8_000_000])
def test_too_large_a_body(web_shop, size):
    """What is not even read is refused in the same shape."""
    response = web_shop.post("/resolve", " " * size)
    assert response.status_code == 413
    assert "larger than 2.5 MB" in response.json()["error"]


def test_a_browser_that_opens_no_call_sees_a_page(web_shop):
    """Who follows a mistyped link in a browser reads a page."""
    response = web_shop.call("GET", "/nothing", HTTP_ACCEPT="text/html")
    assert response.status_code == 404 and "<h1>" in response.content.decode()
