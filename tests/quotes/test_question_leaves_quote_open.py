"""A customer who only asks something can accept meanwhile; the question waits for the desk all the same."""

from datetime import timedelta

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from ordering.lists.today import start_of_day
from quotes.desk.accepting import MOST_QUESTIONS, NotOpenError, ask_for_changes, let_stand
from quotes.desk.drafts import next_issue
from quotes.desk.issuing import issue_quote
from quotes.desk.posting import send_quote
from quotes.links import token_of
from quotes.lists.issue_states import state_of, with_states
from quotes.lists.quotes import find_quotes, narrowed
from quotes.lists.today import quotes_lapsing
from quotes.models import Acceptance, Letter, Quote
from tests.quotes import shop
from tests.quotes.test_accept_by_link import press

pytestmark = pytest.mark.usefixtures("built")
SPRINGS = "Are the springs <with> it?"


def build():
    shop.set_up()
    return shop.issued_quote(shop.part_opening(), shop.cottage_opening())


@pytest.fixture
def issue(built):
    return built


@pytest.fixture
def token(issue):
    return token_of(issue.link.nonce)


def ask(token, words=SPRINGS, **more):
    return press(Client(), token, what="quote-change", kind="question", words=words, **more)


def settle(client, asked, answer):
    address = reverse("quote-settle", args=[asked.issue.quote_id])
    return client.post(address, {"answer": answer, "asked": asked.pk}, follow=True)


def waiting_today():
    """Under the heading of what customers asked: what is said of each."""
    headings = start_of_day({"counter"})
    rows = (h.lines for h in headings if h.words == "Quotes asked about")
    return [line for lines in rows for line in lines]


def test_a_question_needs_a_name_and_no_signature(token):
    """Only who accepts signs with it."""
    signs = "it stands for your signature"
    page = ask(token, name="").content.decode()
    assert "so that we know whom to answer" in page and signs not in page
    page = press(Client(), token, name="").content.decode()
    assert signs in page and "whom to answer" not in page


def test_accepted_while_the_question_waits(issue, token, client):
    """The page says that the question has come and takes the acceptance."""
    page = ask(token).content.decode()
    assert "Mara Quill asked us something on " in page
    assert "Are the springs &lt;with&gt; it?" in page and "Accept this quote" in page
    assert state_of(issue).can_be_accepted
    press(client, token)
    assert Acceptance.objects.get().issue == issue
    assert issue.changes_asked.get().done_at is None


def test_it_waits_for_the_desk(issue, token, clerk):
    """On the first page, on the quote's own and among quotes that can still lapse; nowhere as sent back."""
    ask(token, words="", **{"measures-1": SPRINGS})
    (line,) = waiting_today()
    assert "a question" in line.more and line.url.endswith(f"/issue-{issue.number}/")
    page = clerk.get(line.url).content.decode()
    assert "has a question" in page and "asked for changes" not in page
    assert "Are the springs &lt;with&gt; it?" in page and "<button>Answer</button>" in page
    (listed,) = with_states(list(Quote.objects.select_related("acceptance")))
    assert listed.state.word == "open"
    nothing = {"customer": "", "family": "", "by": "", "since": None, "until": None}
    assert narrowed(find_quotes().every(), {"stands": "open", **nothing}).exists()
    assert not narrowed(find_quotes().every(), {"stands": "back at the desk", **nothing}).exists()
    with time_machine.travel(issue.valid_until):
        assert list(quotes_lapsing()) == [issue]


def test_a_change_still_withdraws(issue, token):
    """The other button, and a page that knows of none, as before; what was asked before it waits on."""
    ask(token)
    press(Client(), token, what="quote-change", kind="change", words="17 instead")
    assert state_of(issue).word == "back at the desk"
    assert ask(token, "And the screws?").status_code == 409
    assert [line.more.split(", ")[2] for line in waiting_today()] == ["a question", "sent back"]


def test_one_is_answered_and_the_other_waits(issue, token, clerk):
    """Answering the question lets nothing stand that was sent back, and its mail says so."""
    send_quote(issue.pk, "mara@quill.example", "ann")
    ask(token)
    ask_for_changes(issue.pk, name="Mara Quill", measures={}, words="17 instead")
    question, change = issue.changes_asked.all()
    settle(clerk, question, "Yes.")
    change.refresh_from_db()
    assert change.done_at is None and state_of(issue).word == "back at the desk"
    body = Letter.objects.latest("pk").body
    assert "Yes." in body and "asked for changes" in body and "holds until" not in body


def test_answered_once_it_is_accepted(issue, token, clerk):
    """The answer goes out, and says what is true of the quote by now."""
    send_quote(issue.pk, "mara@quill.example", "ann")
    ask(token)
    press(Client(), token)
    page = settle(clerk, issue.changes_asked.get(), "Yes.").content.decode()
    assert "can be accepted" not in page
    letter = Letter.objects.latest("pk")
    assert "question is answered" in letter.subject and "Yes." in letter.body
    assert "Accepted by Mara Quill" in letter.body and "You can accept" not in letter.body
    assert waiting_today() == []


def test_answered_by_phone_no_mail_is_needed(issue, token, clerk):
    """A question let go without words has changed nothing."""
    send_quote(issue.pk, "mara@quill.example", "ann")
    ask(token)
    settle(clerk, issue.changes_asked.get(), " ")
    assert Letter.objects.count() == 1 and waiting_today() == []
    assert "asked us something" not in Client().get(f"/your-quote/{token}/").content.decode()


def test_the_next_issue_deals_with_it(issue, token):
    """As with what was sent back."""
    ask(token)
    issue_quote(next_issue(issue.quote_id).pk, "ann")
    assert waiting_today() == []


def test_sent_twice_it_is_one(issue, token):
    """And of many that wait one more is refused, with a sentence and what was typed."""
    ask(token)
    ask(token)
    assert issue.changes_asked.count() == 1
    for n in range(1, MOST_QUESTIONS):
        ask(token, f"Question {n}?")
    page = ask(token, "One more?")
    html = page.content.decode()
    assert page.status_code == 422 and "wait for our answer" in html and "One more?" in html
    assert issue.changes_asked.count() == MOST_QUESTIONS
    let_stand(issue.quote_id, "ann")
    ask(token, "One more?")
    assert issue.changes_asked.count() == MOST_QUESTIONS + 1


def test_an_empty_question_is_asked_for(issue, token):
    page = ask(token, "")
    assert page.status_code == 422 and "what you would like to know" in page.content.decode()
    assert not issue.changes_asked.exists()


def test_about_what_is_over_nothing_is_asked(issue, token):
    """The page says that the words came too late."""
    press(Client(), token)
    page = ask(token)
    assert page.status_code == 409 and "came too late" in page.content.decode()
    with pytest.raises(NotOpenError):
        ask_for_changes(issue.pk, name="Mara", measures={}, words="?", is_question=True)


def test_the_answer_is_kept_with_its_question(issue, token, clerk):
    """Whoever takes the next call reads what was answered, the customer on their page; by mail under the question."""
    send_quote(issue.pk, "mara@quill.example", "ann")
    ask(token)
    ask(token, words="", **{"measures-1": "Left or right?"})
    _first, second = issue.changes_asked.all()
    settle(clerk, second, "Neither: a pair\r\nis one of each.")
    mail = Letter.objects.latest("pk").body
    assert mail.index("Stairs: Left or right?") < mail.index("Neither: a pair\nis one of each.")
    assert "you wrote:\n> " in mail and SPRINGS not in mail
    page = clerk.get(reverse("quote", args=[issue.quote_id])).content.decode()
    assert "Answered by" in page and "Neither: a pair" in page and "Dealt with" not in page
    theirs = Client().get(reverse("quote-public", args=[token])).content.decode()
    assert "our answer stands below" in theirs and "Neither: a pair" in theirs
    assert "our answer is still to come" in theirs


def test_answered_by_phone_it_says_only_who(issue, token, clerk):
    ask(token)
    settle(clerk, issue.changes_asked.get(), "")
    page = clerk.get(reverse("quote", args=[issue.quote_id])).content.decode()
    assert "Dealt with by" in page and "Answered by" not in page
    theirs = Client().get(reverse("quote-public", args=[token])).content.decode()
    assert "wrote to us" not in theirs and "still to come" not in theirs


@pytest.fixture
def lapsed(issue):
    send_quote(issue.pk, "mara@quill.example", "ann")
    with time_machine.travel(issue.issued_at + timedelta(days=31), tick=False):
        yield issue


def test_who_comes_back_after_it_lapsed_asks_for_a_new_one(lapsed, token):
    """The page takes it with one press and a name; the desk has it, and nothing can be accepted."""
    page = Client().get(reverse("quote-public", args=[token])).text
    assert "Please send me a new quote." in page and "Accept this quote" not in page
    refused = ask(token, words="A new one, please", name="")
    assert refused.status_code == 422 and "A new one, please</textarea>" in refused.text
    assert "Not sent yet" in refused.text and "came too late" not in refused.text
    shown = ask(token, words="A new one, please").text
    assert "our answer is still to come" in shown
    (line,) = waiting_today()
    assert "a question" in line.more
    issue_quote(next_issue(lapsed.quote_id).pk, "ann")
    assert waiting_today() == []


def test_what_is_different_of_a_lapsed_one_comes_back_as_a_question(lapsed, token):
    """Its page was open when it lapsed: nothing typed is lost, and one press more sends it."""
    page = press(Client(), token, what="quote-change", kind="change", words="One more, please")
    assert page.status_code == 409 and "This came too late and was not sent" in page.text
    assert "One more, please</textarea>" in page.text and not lapsed.changes_asked.exists()
