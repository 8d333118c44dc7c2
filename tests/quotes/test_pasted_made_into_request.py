"""What was found and confirmed becomes a request that opens on the counter."""

from quotes.models import Request
from tests.quotes.counter_page import fields_of, words_of
from tests.quotes.pasted_page import CLEAN, CONTRADICTORY, NOTHING, SEVERAL, read, send


def test_request_is_made(clerk, liner):
    """Confirmed, it is a request as if typed at the counter, with the whole message as its note."""
    made = send(clerk, read(clerk, CLEAN), "make", o0_right="on")
    request = Request.objects.get()
    assert made.url == f"/requests/{request.pk}/"
    assert (request.caller, request.email, request.taken_by) == (
        "Mara Quill",
        "mara@quill.example",
        "mira",
    )
    assert request.phone == "802 555 0117"
    assert request.note == CLEAN
    (opening,) = request.openings.all()
    assert (opening.label, opening.quantity, opening.finish) == ("kitchen", 2, "slate")
    assert opening.answer["part_number"] == "OHL-05LS"


def test_a_long_message_is_saved_with_its_request(clerk, liner):
    """What the desk reads is no longer than a note: the request made of it is saved on the counter, whole."""
    text = CLEAN + "\n" + "We are in no hurry at all, and the dog is kind.\n" * 400
    made = send(clerk, read(clerk, text), "make", o0_right="on")
    fields = fields_of(clerk.get(made.url))
    as_browsers_do = fields["note"].replace("\n", "\r\n")
    assert clerk.post(made.url, {**fields, "note": as_browsers_do, "do": "save"}).status_code == 302
    assert Request.objects.get().note.splitlines() == text.splitlines()


def test_every_opening_is_confirmed(clerk, liner):
    """One opening that nobody ticked keeps the request from being made; the rest stays ticked."""
    again = send(clerk, read(clerk, SEVERAL), "make", o0_right="on", o2_right="on")
    assert again.status_code == 422
    assert "Opening 2: hold it against the message" in words_of(again)
    fields = fields_of(again)
    assert (fields.get("o0-right"), fields.get("o1-right")) == ("on", None)
    assert not Request.objects.exists()


def test_left_out(clerk, liner):
    """An opening that is left out needs no tick and does not come into the request."""
    send(clerk, read(clerk, SEVERAL), "make", o0_right="on", o1_gone="on", o2_right="on")
    assert [o.label for o in Request.objects.get().openings.all()] == ["kitchen", "stairs"]


def test_corrected_box(clerk, liner):
    """A box that was corrected says what had been read, and goes into the request as corrected."""
    page = read(clerk, CLEAN)
    shown = send(clerk, page, "work", **{"o0_m-opening": "47 3/4"})
    assert "1c “ opening 47 7/8 ” changed by you; it was read as 47 7/8" in words_of(shown)
    send(clerk, shown, "make", o0_right="on")
    assert Request.objects.get().openings.get().said["opening"] == "47 3/4"


def test_nothing_found_is_kept(clerk, liner):
    """A message without an opening makes a request too: its words wait in the note for the call back."""
    made = send(clerk, read(clerk, NOTHING), "make")
    assert made.status_code == 302
    request = Request.objects.get()
    assert request.note == NOTHING
    assert [o.said for o in request.openings.all()] == [{}]


def test_not_placed_is_told_once_more(clerk, liner):
    """Words that went nowhere are named on the request's page."""
    made = send(clerk, read(clerk, CONTRADICTORY), "make", o0_right="on")
    assert "Not placed in any opening: “47 7/8 or 48 7/8”" in words_of(clerk.get(made.url))


def test_bad_email_stays_in_its_box(clerk, liner):
    """What cannot be stored is told beside its box, and nothing is stored."""
    again = send(clerk, read(clerk, CLEAN), "make", o0_right="on", email="mara at home")
    assert again.status_code == 422
    assert "This is no e-mail address" in words_of(again)
    assert fields_of(again)["email"] == "mara at home"
    assert not Request.objects.exists()


def test_unreadable_length_is_told(clerk, liner):
    """A measure that can be read in two ways is told beside its box, as at the counter."""
    shown = send(clerk, read(clerk, CLEAN), "work", **{"o0_m-opening": "1/2/3"})
    assert "Can't be read" in words_of(shown)
    assert fields_of(shown)["o0-m-opening"] == "1/2/3"


def test_page_sent_twice(clerk, liner):
    """The same page sent twice makes one request and leads to it both times."""
    page = read(clerk, CLEAN)
    first, second = (send(clerk, page, "make", o0_right="on") for _ in range(2))
    assert first.url == second.url
    assert Request.objects.count() == 1


def test_page_gone_back_to(clerk, liner):
    """Gone back to and changed, the page does not write over the request it made: it leads there."""
    page = read(clerk, CLEAN)
    send(clerk, page, "make", o0_right="on")
    again = send(clerk, page, "make", o0_right="on", caller="Somebody Else")
    request = Request.objects.get()
    assert (again.status_code, request.caller) == (409, "Mara Quill")
    assert f"This page was made into request {request.pk} before" in words_of(again)
    assert fields_of(again)["caller"] == "Somebody Else"


def test_live_answer(clerk, liner):
    """While a box is typed into, only that opening's answer comes back."""
    fields = fields_of(read(clerk, SEVERAL)) | {"o2-m-lower_glass": "16"}
    answer = clerk.post("/requests/pasted/?o=2", fields, headers={"HX-Request": "true"})
    assert answer.content.decode().lstrip().startswith("<p class=")
    assert 'id="o2-answer"' in answer.content.decode()
    assert "glass 16 over 16" in words_of(answer)
