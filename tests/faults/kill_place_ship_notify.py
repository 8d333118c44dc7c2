"""Kills web and worker processes at random points of place, send, promise, ship and notify.

Run by test_kill_place_ship_notify.py against a fresh database in DATABASE_URL, with EMAIL_HOST and
EMAIL_PORT naming the box: python -m tests.faults.kill_place_ship_notify ROUNDS SEED FOLDER.

Each round a clerk and a factory press their buttons over HTTP while SIGKILL falls on the web server,
the worker or both. Whoever got no answer does what people do: loads the page and presses again. Then
everything in the database is held against everything in the box; the findings are printed as JSON.
"""

import email
import http.client
import json
import os
import random
import signal
import sys
import threading
import time
from collections import Counter
from contextlib import suppress
from pathlib import Path
from urllib.parse import urlencode

import django

HOST = "127.0.0.1"
# A killed worker's claim lapses after this; real installations wait minutes.
FIRST_WAIT = 1.0


class Process:
    """A forked child that can be killed at any time and started again."""

    def __init__(self, run) -> None:
        self.run = run
        self.start()

    def start(self) -> None:
        from django.db import connections

        # A database connection must never be carried into another process.
        connections.close_all()
        self.pid = os.fork()
        if self.pid == 0:
            try:
                nowhere = os.open(
                    os.environ.get("KILL_LOG", os.devnull), os.O_WRONLY | os.O_CREAT | os.O_APPEND
                )
                os.dup2(nowhere, 1)
                os.dup2(nowhere, 2)
                self.run()
            finally:
                os._exit(1)

    def kill(self) -> None:
        # It may have come to its end by itself (a port not free yet); then it is started again.
        with suppress(ProcessLookupError):
            os.kill(self.pid, signal.SIGKILL)

    def revive(self) -> None:
        """Start it again if it is gone."""
        gone, _ = os.waitpid(self.pid, os.WNOHANG)
        if gone:
            self.start()

    def end(self) -> None:
        self.kill()
        os.waitpid(self.pid, 0)


def serve(port: int) -> None:
    from django.core.servers.basehttp import ThreadedWSGIServer, WSGIRequestHandler
    from django.core.wsgi import get_wsgi_application

    server = ThreadedWSGIServer((HOST, port), WSGIRequestHandler, ipv6=False)
    server.set_app(get_wsgi_application())
    server.serve_forever()


def work() -> None:
    from django.core.management import call_command

    call_command("work", interval=0.02)


class Person:
    """Somebody with a browser: asks again while the server is away."""

    def __init__(self, port: int, web: Process, cookies: str = "") -> None:
        self.port, self.web, self.cookies = port, web, cookies
        self.unanswered = 0

    def ask(self, method: str, path: str, form: dict | None = None) -> tuple[int, str]:
        """One request; (0, "") if no answer came."""
        body = urlencode(form) if form else None
        headers = {"Cookie": f"csrftoken={'t' * 32}; {self.cookies}", "X-CSRFToken": "t" * 32}
        if body:
            headers["Content-Type"] = "application/x-www-form-urlencoded"
        connection = http.client.HTTPConnection(HOST, self.port, timeout=20)
        try:
            connection.request(method, path, body, headers)
            answer = connection.getresponse()
            return answer.status, answer.read().decode()
        except (OSError, http.client.HTTPException):
            return 0, ""
        finally:
            connection.close()

    def press(self, path: str, form: dict, done) -> None:
        """Press a button until `done()` says that it happened, whether an answer came or not."""
        until = time.monotonic() + 60
        while True:
            status, text = self.ask("POST", path, form)
            if status == 0:
                self.unanswered += 1
                self.web.revive()
                time.sleep(0.05)
            if status == 500 or time.monotonic() > until:
                raise AssertionError(f"{path} answered {status}: {text[:500]}")
            if done():
                return


def accepted_quotes(count: int) -> list[int]:
    """So many accepted quotes of two lines each; their keys."""
    from quotes.models import Acceptance, Issue, Quote, QuoteLine
    from tests.ordering import placed
    from tests.quotes.shop import cottage_opening, part_opening

    placed.load_shop()
    first = placed.accepted_quote(part_opening(quantity=3), cottage_opening())
    issue = first.acceptance.issue
    keys = [first.pk]
    for _ in range(count - 1):
        quote = Quote.objects.create(customer=first.customer, currency="USD", taken_by="ann")
        copy = Issue.objects.create(
            quote=quote, number=1, issued_at=issue.issued_at, valid_until=issue.valid_until,
            document=issue.document, pickup=True,
        )  # fmt: skip
        for line in issue.lines.all():
            opening = line.openings.first()
            made = QuoteLine.objects.create(
                issue=copy, position=line.position, kind=line.kind, part=line.part,
                description=line.description, quantity=line.quantity, sold_as=line.sold_as,
                unit_price=line.unit_price,
            )  # fmt: skip
            made.openings.add(opening)
        Acceptance.objects.create(quote=quote, issue=copy, name="Mara Quill", how="phone")
        keys.append(quote.pk)
    return keys


def clerk_cookie() -> str:
    from django.test import Client

    from tests.ordering.placed import user

    client = Client()
    client.force_login(user())
    return f"sessionid={client.cookies['sessionid'].value}"


def one_day(clerk: Person, factory: Person, quote: int) -> None:
    """Place the order, send it, give a date, ship it."""
    from datetime import timedelta

    from django.db import connection
    from django.utils import timezone

    from ordering.links import page_of_factory
    from ordering.models import FactoryOrder, Order, OrderLine

    def lines():
        return OrderLine.objects.filter(order__acceptance__quote=quote)

    placed = Order.objects.filter(acceptance__quote=quote).exists
    clerk.press(f"/orders/place/{quote}/", {"go": 1}, placed)
    ticked = [("line", line.pk) for line in lines()]
    form = ticked + [(f"version-{line.pk}", line.version) for line in lines()]
    clerk.press("/orders/send/", form, lines().exclude(factory_order=None).exists)
    sent = FactoryOrder.objects.get(lines__in=lines()[:1])
    page = "/" + page_of_factory(sent).split("/", 3)[3]
    day = timezone.localdate() + timedelta(40)
    factory.press(page, {"do": "dates", "all": day}, lines().filter(promised_on=day).exists)
    for count in (1, 0):
        form = {"do": "shipped"}
        for line in lines():
            form[f"version-{line.pk}"] = line.version
            form[f"count-{line.pk}"] = 1 if count else line.quantity - 1
        before = lines().order_by("pk").first().version
        factory.press(page, form, lines().filter(version__gt=before).exists)
    connection.close()


def killer(after: float, victims: list[Process]) -> threading.Thread:
    def strike() -> None:
        time.sleep(after)
        for victim in victims:
            victim.kill()

    thread = threading.Thread(target=strike)
    thread.start()
    return thread


def finish(worker: Process) -> None:
    """Let the worker come to its end: every notice is sent, however long its last sender is dead."""
    from ordering.sending import POSTED

    until = time.monotonic() + 240
    while POSTED.filter(sent_at=None).exists():
        worker.revive()
        if time.monotonic() > until:
            return
        time.sleep(0.1)


def findings(quotes: list[int], folder: Path) -> dict[str, object]:
    """Whatever is not as it must be, and what was seen on the way."""
    from ordering.events import copy_state, state_of
    from ordering.models import Event, FactoryOrder, Notice, Order, OrderLine
    from ordering.notices import CAUSED_BY
    from ordering.states import Act

    wrong = []
    for quote in quotes:
        orders = list(Order.objects.filter(acceptance__quote=quote))
        if len(orders) != 1:
            wrong.append(f"quote {quote} has {len(orders)} orders")
    for order in Order.objects.all():
        acts = [event.act for event in order.events.all()]
        if acts != ["placed", "sent", "promised", "left", "left"]:
            wrong.append(f"{order}: {acts}")
        if order.lines.count() != 2 or not order.words.exists():
            wrong.append(f"{order} is placed by half")
        state = state_of(order)
        for line in order.lines.all():
            fresh = OrderLine()
            copy_state(fresh, state.lines[line.number])
            if (fresh.step, fresh.version) != (line.step, line.version):
                wrong.append(f"{line} is stored as {line.step}, its log says {fresh.step}")
    for event in Event.objects.all():
        kinds = list(event.notices.values_list("kind", flat=True))
        due = [CAUSED_BY[Act(event.act)]] if Act(event.act) in CAUSED_BY else []
        if kinds != due:
            wrong.append(f"{event} has the notices {kinds}")
    for sent in FactoryOrder.objects.all():
        if sent.notices.count() != 1 or sent.lines.count() != 2:
            wrong.append(f"{sent} has {sent.notices.count()} mails and {sent.lines.count()} lines")
    box = Counter(
        email.message_from_bytes(path.read_bytes())["Message-ID"] for path in folder.glob("*.eml")
    )
    notices = set(Notice.objects.values_list("message_id", flat=True))
    wrong += [f"never arrived: {notice}" for notice in notices - set(box)]
    wrong += [f"from nowhere: {message}" for message in set(box) - notices]
    return {
        "wrong": wrong,
        "events": Event.objects.count(),
        "notices": len(notices),
        "messages": sum(box.values()),
        "second_copies": sum(box.values()) - len(box),
        "tried_again": Notice.objects.filter(attempts__gt=1).count(),
    }


def main(rounds: int, seed: int, folder: Path) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    from django.conf import settings
    from django.core.management import call_command
    from django.db import connection, connections

    settings.POST_FIRST_WAIT = FIRST_WAIT
    settings.ALLOWED_HOSTS = [HOST]
    call_command("migrate", verbosity=0)
    quotes, cookie = accepted_quotes(rounds), clerk_cookie()
    engine = connection.vendor
    connections.close_all()
    port = int(os.environ["WEB_PORT"])
    web, worker = Process(lambda: serve(port)), Process(work)
    clerk, factory = Person(port, web, cookie), Person(port, web)
    try:
        kills = strike_daily(quotes, random.Random(seed), clerk, factory, worker)
        finish(worker)
        found = findings(quotes, folder)
    finally:
        for process in (web, worker):
            process.end()
    unanswered = clerk.unanswered + factory.unanswered
    print(json.dumps({**found, "engine": engine, "kills": kills, "unanswered": unanswered}))


def strike_daily(
    quotes: list[int], draw: random.Random, clerk: Person, factory: Person, worker: Process
) -> Counter[str]:
    """One order a day and one blow in each; how often which process was struck."""
    from django.db import connections

    web = clerk.web
    kills: Counter[str] = Counter()
    usual = 1.0
    for quote in quotes:
        struck = draw.choice(["web", "worker", "both"])
        victims = {"web": [web], "worker": [worker], "both": [web, worker]}[struck]
        began = time.monotonic()
        blow = killer(draw.uniform(0, usual), victims)
        try:
            one_day(clerk, factory, quote)
        finally:
            blow.join()
        kills[struck] += 1
        # The next blow falls anywhere in what a day takes here.
        usual = 0.7 * usual + 0.3 * min(time.monotonic() - began, 3.0)
        connections.close_all()
        for process in (web, worker):
            process.revive()
    return kills


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), Path(sys.argv[3]))
