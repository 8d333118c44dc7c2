"""The product broken on purpose, to see whether the judge says so: `run --broken NAME [NAME …]`.

Each puts a wrong piece in place of a right one, before the processes are forked.
"""

from unittest.mock import patch

from tests.faults.trouble import GAP, MAIL, TWICE, TWO_CLERKS


def notice_after() -> None:
    """The notice is written just after the transaction of its event, not in it."""
    _after("ordering.events.log.tell_customer")


def window_after() -> None:
    """The desk's record of what was told, likewise."""
    _after("ordering.events.log._note_told")


def sent_before() -> None:
    """A mail is noted as sent before it is."""
    from django.utils import timezone

    from quotes import post

    def send(rows, pk, write):
        if not post.due(rows.model.objects.filter(pk=pk)).exists():
            return False
        rows.model.objects.filter(pk=pk).update(sent_at=timezone.now(), attempts=1)
        try:
            write(rows.model.objects.get(pk=pk)).send()
        except (OSError, post.Overtaken):
            return False
        return True

    patch("quotes.post.send", send).start()
    patch("quotes.desk.posting.send_row", send).start()


def dropped() -> None:
    """A mail that was refused is given up, as if something had taken its place."""
    from quotes import post

    deliver = post._deliver

    def give_up(message):
        try:
            return deliver(message)
        except OSError as problem:
            raise post.Overtaken(str(problem)) from problem

    patch("quotes.post._deliver", give_up).start()


def not_noted() -> None:
    """Of every second mail that went it is not noted: it goes again, under its own Message-ID."""
    from itertools import count

    from quotes import post

    note, number = post._note, count()

    def forgetful(row, noted):
        if "sent_at" not in noted or next(number) % 2:
            note(row, noted)

    patch("quotes.post._note", forgetful).start()


def wrong_page() -> None:
    """Every mail about an order leads to the page of the first order there is."""
    from ordering import sending
    from ordering.models import Order

    right = sending._link

    def link(notice):
        return sending.page_of(Order.objects.earliest("pk")) if notice.event else right(notice)

    patch("ordering.sending._link", link).start()


def line_forgotten() -> None:
    """A date for several lines is written for all but the last."""
    from ordering.events import factory

    write = factory.write

    def forgetful(order, act, pieces, who, **more):
        kept = dict(list(pieces.items())[:-1]) if act == "promised" and len(pieces) > 1 else pieces
        return write(order, act, kept, who, **more)

    patch("ordering.events.factory.write", forgetful).start()


def measure_forgotten() -> None:
    """A second window's measures are not stored."""
    from dataclasses import replace

    from quotes.desk import requests

    store = requests._store_openings

    def forgetful(request, openings, by):
        first, *rest = openings
        return store(request, [first, *(replace(one, measures={}) for one in rest)], by)

    patch("quotes.desk.requests._store_openings", forgetful).start()


def overwritten() -> None:
    """Who saves a request last is right, whatever the other had before them."""
    from django.db import transaction

    from quotes.desk import requests

    save = requests._save

    @transaction.atomic
    def careless(said, by, pk, version, *more):
        now = requests.Request.objects.select_for_update().filter(pk=pk).first()
        return save(said, by, pk, now.version if now else version, *more)

    patch("quotes.desk.requests._save", careless).start()


def deposit_again() -> None:
    """A deposit is written however often it is sent."""
    patch("ordering.events.shop._check_money_since", lambda order, seen: None).start()


def remade_again() -> None:
    """What a line became meanwhile is not looked at."""
    patch("ordering.events.log._check_seen", lambda *said: None).start()


def by_hand_again() -> None:
    """An order by hand is placed without the page that it was typed into."""
    from ordering import events

    place = events.place_by_hand
    patch("ordering.events.place_by_hand", lambda *said, page, **more: place(*said, **more)).start()


def _after(place: str) -> None:
    """Have a function of the writing module called once its transaction is through."""
    from django.db import transaction
    from django.utils.module_loading import import_string

    real = import_string(place)
    patch(place, lambda *said: transaction.on_commit(lambda: real(*said))).start()


# What some do shows under any fault; this one is over soonest.
SOME = next(kind for kind in MAIL if "451" in kind)
# What each is found by, and as what.
BROKEN = {
    "notice after": (notice_after, [GAP], "has the notices none"),
    "window after": (window_after, [GAP], "told the windows of"),
    "sent before": (sent_before, [kind for kind in MAIL if "refuses" in kind], "never arrived"),
    "dropped": (dropped, [kind for kind in MAIL if "refuses" in kind], "never arrived"),
    "not noted": (not_noted, [SOME], "second copies of mails"),
    "wrong page": (wrong_page, [SOME], "came as"),
    "line forgotten": (line_forgotten, [SOME], "was asked for"),
    "measure forgotten": (measure_forgotten, [SOME], "was acknowledged"),
    "deposit again": (deposit_again, [TWICE], "'deposit') has happened 2 times"),
    "remade again": (remade_again, [TWICE], "'remade') has happened 2 times"),
    "by hand again": (by_hand_again, [TWICE], "('by hand', 'None') has happened"),
    "overwritten": (overwritten, [TWO_CLERKS], "overwritten unseen"),
}  # fmt: skip
