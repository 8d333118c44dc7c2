"""A shop with real processes through a thousand faults: `python -m tests.faults.run --faults 1000 --seed N`.

DATABASE_URL names a fresh database: an SQLite file, or a PostgreSQL server of this machine. Web server,
worker and mail server are processes of their own; a clerk, a second clerk and a factory press their
buttons over HTTP. Each press meets a fault; who got no answer, or was told that it failed, presses
again. In the end what was acknowledged is held against what is there. Prints the faults by kind and
the counts as JSON on the last line; exit status 1 if anything was lost, doubled or there by half.
"""

import argparse
import json
import os
import random
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Sequence
from contextlib import ExitStack, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import django

from tests.faults.broken import BROKEN
from tests.faults.database import database_on
from tests.faults.db_server import killed_after
from tests.faults.judge import Books, judge
from tests.faults.people import LONGEST, Answer, Person, Step
from tests.faults.processes import HOST, Clock, Process, serve, work
from tests.faults.trouble import (
    BLOWS,
    FULL,
    MAIL,
    PATIENCE,
    SERVER,
    SHARES,
    SUMMER_BEGINS,
    TWICE,
    TWO_CLERKS,
    Trouble,
    plan,
)  # fmt: skip

ROOT = Path(__file__).resolve().parents[2]
STARTS = datetime(2026, 10, 31, 12, tzinfo=UTC)


class Run:
    """The shop while the faults come."""

    def __init__(self, clerks: list[Person], factory: Person, trouble: Trouble, draw) -> None:
        self.clerk, self.other = clerks
        self.factory, self.trouble, self.draw = factory, trouble, draw
        self.books = Books()
        self.felt: Counter[str] = Counter()
        self.numbers = 1_000_000

    def go(self, kinds: list[str], steps) -> None:
        from django.db import connections

        from tests.faults.day import new_request

        for kind in kinds:
            if kind == TWO_CLERKS:
                self.two_clerks()
            elif kind == TWICE:
                self.twice(next(steps))
            elif kind == SERVER:
                self.without_server(next(steps))
            elif kind == FULL:
                self.numbers += 1
                # On a full disk nobody can sign in; a worker whose clock is ahead may end this one all the same.
                if self.clerk.ask("GET", "/counter/").status != 200:
                    self.clerk.sign_in()
                note = "".join(self.draw.choices("abcdefghij klmno", k=3900)).strip()
                self.under(kind, new_request(self.clerk, self.numbers, note))
            else:
                self.under(kind, next(steps))
            connections.close_all()
            for process in (self.trouble.web, self.trouble.worker):
                process.revive()

    def under(self, kind: str, step: Step) -> None:
        """One press while the fault is on, and as many after it as it takes."""
        self.ask(step)
        with self.trouble.around(kind, step.button):
            answer = step.person.press(step)
        self.note(step, answer)
        if kind not in MAIL:
            self.felt[kind] += not answer.is_yes
        if answer.status == 500:
            raise AssertionError(f"{kind}: {step.path} failed: {answer.page[:900]}")
        self.settle(step, answer)

    def ask(self, step: Step) -> None:
        self.books.asked.add(step.mark)
        if step.says:
            self.books.said[step.mark] = step.says

    def note(self, step: Step, answer: Answer) -> None:
        """Into the books: what the desk said yes to; and whether it gave back what it did not take."""
        from tests.faults.day import said_of_form

        if answer.is_yes:
            if step.mark[0] != "request":
                self.books.acts[step.mark] += 1
            else:
                self.books.requests[step.mark[1]] = said_of_form(step.form())
        elif answer.status and step.typed:
            missing = [words for words in step.typed if words not in answer.page]
            if missing:
                self.books.words_lost.append(f"{step.mark}, {answer.status}: {missing}")

    def settle(self, step: Step, answer: Answer) -> None:
        """Press until it is acknowledged, or until looking shows that it has happened."""
        until = time.monotonic() + LONGEST
        refused = 0
        while not answer.is_yes and (step.typed or not step.done()):
            if time.monotonic() > until:
                raise AssertionError(f"{step.mark} is never done: {answer.status} {answer.page}")
            if answer.status == 422:
                refused += 1
                self.wait_for_the_day(refused)
            elif answer.status == 0:
                self.trouble.web.revive()
                time.sleep(0.03)
            answer = step.person.press(step)
            if answer.status == 500:
                raise AssertionError(f"{step.path} still fails: {answer.page}")
            self.note(step, answer)
        if refused:
            self.trouble.clocks["web"].set_right()

    def wait_for_the_day(self, refused: int) -> None:
        """A wrong clock was told: set it right; what was written in the future waits until then."""
        clock = self.trouble.clocks["web"]
        clock.set_right() if refused == 1 else clock.show(SUMMER_BEGINS + timedelta(10))
        time.sleep(0.05)

    def twice(self, step: Step) -> None:
        """The same form from two threads at the same instant."""
        self.ask(step)
        form = step.form()
        same = Step(step.mark, step.person, step.path, lambda: form, step.done, step.typed)
        answers = at_once([lambda: step.person.press(same)] * 2)
        self.trouble.count[TWICE] += 1
        self.felt[TWICE] += any(not answer.is_yes for answer in answers)
        for answer in answers:
            self.note(step, answer)
            if answer.status == 500:
                raise AssertionError(f"{TWICE}: {step.path} failed: {answer.page[:900]}")
        self.settle(step, answers[0] if answers[0].is_yes else answers[1])

    def without_server(self, step: Step) -> None:
        """The database's server dies under one press, and is away at the next; then it is there again."""
        while not step.person.ask("GET", "/sign-in/").status:
            # The fault before this one has killed it.
            self.trouble.web.revive()
            time.sleep(0.03)
        self.ask(step)
        form = step.form()
        with killed_after(self.draw.uniform(0, self.trouble.usual)) as gone:
            answer = step.person.ask("POST", step.path, form)
            gone.wait()
            away = step.person.ask("POST", step.path, form)
        self.trouble.count[SERVER] += 1
        self.felt[SERVER] += not answer.is_yes
        for one in (answer, away):
            self.note(step, one)
        if away.status != 503 or answer.status in (0, 500):
            raise AssertionError(f"{SERVER}: {step.path}: {answer}, then {away}")
        self.settle(step, answer)

    def two_clerks(self) -> None:
        """Both have the request before them and save at once: one is taken, the other is told."""
        from quotes.models import Request
        from tests.faults.day import new_request, said_of_form

        self.numbers += 1
        step = new_request(self.clerk, self.numbers)
        self.ask(step)
        first = self.clerk.press(step)
        self.note(step, first)
        self.settle(step, first)
        stored = Request.objects.get(page=step.mark[1])
        keys = list(stored.openings.order_by("position").values_list("pk", flat=True))

        def form(note: str, version: int) -> list[tuple[str, object]]:
            said = [(k, v) for k, v in step.form() if k not in ("note", "version", "page")]
            keyed = [(f"o{at}-key", key) for at, key in enumerate(keys)]
            return [*said, *keyed, ("note", note), ("version", version)]

        path, people = f"/requests/{stored.pk}/", (self.clerk, self.other)
        notes = [f"note of {person.name}" for person in people]
        for person in people:
            if person.ask("GET", path).status != 200:
                person.sign_in()
        first_version, first_note = stored.version, stored.note
        answers = at_once(
            [
                lambda person=person, note=note: person.ask("POST", path, form(note, first_version))
                for person, note in zip(people, notes, strict=True)
            ]
        )
        self.trouble.count[TWO_CLERKS] += 1
        taken = [note for note, answer in zip(notes, answers, strict=True) if answer.is_yes]
        told = [a for a in answers if a.status == 409]
        stored.refresh_from_db()
        self.felt[TWO_CLERKS] += bool(told)
        # Of an impatient desk the later one may be told that the database is held, before it looks what is there.
        held = [note for note, answer in zip(notes, answers, strict=True) if answer.status == 503]
        # Whom the clock has signed out is asked to sign in first, and finds the page as typed (test_counter_keeps_what_was_typed).
        out = [a for a in answers if a.status == 302 and not a.is_yes]
        all_told = len(taken) + len(told) + len(held) + len(out) == len(people)
        if not all_told or len(taken) > 1 or stored.note != (taken[0] if taken else first_note):
            said = [f"{answer.status} {answer.place}" for answer in answers]
            self.books.overwritten.append(f"{step.mark}: {said}, {stored.note!r} is there")
        pages = {note: answer.page for note, answer in zip(notes, answers, strict=True)}
        if any(note not in pages[note] for note in held):
            self.books.words_lost.append(f"{step.mark}: held, and the note is not given back")
        if told and not all(note in told[0].page for note in notes):
            self.books.words_lost.append(f"{step.mark}: the later one does not see both notes")
        said = said_of_form(step.form())
        self.books.requests[step.mark[1]] = (said[0], stored.note, said[2])


def at_once(acts: list) -> list[Answer]:
    """What each answered, all begun at the same instant."""
    ready = threading.Barrier(len(acts))
    answers: list[Answer] = [Answer(0)] * len(acts)

    def run(at: int, act) -> None:
        from django.db import connection

        ready.wait(30)
        answers[at] = act()
        connection.close()

    threads = [threading.Thread(target=run, args=pair) for pair in enumerate(acts)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return answers


def finish(worker: Process, clock: Clock) -> None:
    """Let the worker come to its end: every mail is due one day, however often it was tried.

    It lies still when this is over: a day's work that it begins meanwhile writes mails of its own.
    """
    from django.db import connections

    until = time.monotonic() + 300
    ahead = SUMMER_BEGINS + timedelta(10)
    while time.monotonic() < until:
        if not _unsent():
            worker.end()
            if not _unsent():
                return
            worker.start()
        connections.close_all()
        worker.revive()
        ahead += timedelta(hours=7)
        clock.show(ahead)
        time.sleep(1)


def _unsent() -> bool:
    from ordering.sending import POSTED
    from quotes.models import Letter
    from quotes.post import WAITING

    return any(rows.filter(WAITING).exists() for rows in (POSTED, Letter.objects))


def free_port() -> int:
    with socket.socket() as found:
        found.bind((HOST, 0))
        return found.getsockname()[1]


@contextmanager
def mail_server(box: Path, port: int):
    server = subprocess.Popen(
        [sys.executable, "-m", "tests.faults.mail_server", str(box), str(port), str(2 * PATIENCE)],
        cwd=ROOT, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert server.stdout.readline() == "ready\n"
    try:
        yield
    finally:
        server.kill()
        server.wait()


def prepare(mail_port: int) -> None:
    from django.conf import settings

    settings.ALLOWED_HOSTS = [HOST]
    settings.TIME_ZONE = os.environ["TZ"] = "America/New_York"
    settings.POST_FIRST_WAIT = 1.0
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = HOST, mail_port
    settings.EMAIL_TIMEOUT = PATIENCE
    # Signing in is no part of what is looked at here, and clocks that jump ask for it often.
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


def main(faults: int, seed: int, broken: Sequence[str] = (), kinds: Sequence[str] = ()) -> int:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    os.environ["PGAPPNAME"] = "harness"
    django.setup()
    from django.db import connection, connections

    from tests.faults.day import accepted_quotes, clerks, steps
    from tests.faults.kept import gather

    draw = random.Random(seed)
    for name in broken:
        BROKEN[name][0]()
    only = [*kinds, *dict.fromkeys(kind for name in broken for kind in BROKEN[name][1])]
    kinds = (
        [only[at % len(only)] for at in range(faults)]
        if only
        else plan(faults, draw, connection.vendor)
    )
    clocks = {name: Clock(STARTS) for name in ("web", "worker", "here")}
    clocks["here"].go()
    mail_port, port = free_port(), free_port()
    prepare(mail_port)
    began = time.monotonic()
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="faults-")))
        folder.chmod(0o755)
        box = folder / "box"
        box.mkdir()
        stack.enter_context(mail_server(box, mail_port))
        disk = stack.enter_context(database_on(folder / "disk"))
        quotes, names = accepted_quotes(len(kinds) // 8 + 2), clerks()
        connections.close_all()
        web = Process("web", lambda: serve(port, clocks["web"]))
        stack.callback(web.end)
        worker = Process("worker", lambda: work(clocks["worker"]))
        stack.callback(worker.end)
        people = [Person(port, web, name) for name in names]
        factory = Person(port, web)
        trouble = Trouble(draw, web, worker, clocks, disk, box)
        run = Run(people, factory, trouble, draw)
        for person in people:
            person.sign_in()
        run.go(kinds, steps(quotes, people[0], factory))
        finish(worker, clocks["worker"])
        trouble.count_mail()
        run.books.blows = sum(trouble.count[kind] for kind in BLOWS)
        kept = gather(box)
        wrong = judge(run.books, kept)
        engine = connection.vendor
    told = tell(run, kept, wrong, engine, seed, time.monotonic() - began)
    print(json.dumps(told))
    return 1 if wrong else 0


def tell(run: Run, kept, wrong: list, engine: str, seed: int, seconds: float) -> dict:
    """Prints the counts for people to read; returns them for a test."""
    count = run.trouble.count
    print(f"{sum(count.values())} faults on {engine}, seed {seed}, {seconds:.0f} s:")
    for kind, times in sorted(count.items()):
        felt = f", {run.felt[kind]} of them seen by whoever pressed" if kind in run.felt else ""
        print(f"  {times:5}  {kind}{felt}")
    sums = Counter(kind for kind, _ in wrong)
    second = sum(kept.box.values()) - len(kept.box)
    print(
        f"{sum(run.books.acts.values())} acts and {len(run.books.requests)} requests acknowledged, {len(kept.mails)} mails, {second} second "
        f"copies under the same Message-ID: {sums['lost']} lost, {sums['doubled']} doubled, "
        f"{sums['by half']} by half."
    )
    for kind, sentence in wrong[:40]:
        print(f"  {kind}: {sentence}")
    return {
        "engine": engine, "seed": seed, "faults": dict(count), "felt": dict(run.felt),
        "acknowledged": sum(run.books.acts.values()) + len(run.books.requests), "mails": len(kept.mails),
        "second_copies": second, "wrong": wrong,
    }  # fmt: skip


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--faults", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=20_320_117)
    parser.add_argument(
        "--broken", nargs="+", choices=BROKEN, default=(), help="see tests/faults/broken.py"
    )
    parser.add_argument(
        "--kinds", nargs="+", choices=SHARES, default=(), help="these in turn, no others"
    )
    said = parser.parse_args()
    sys.exit(main(said.faults, said.seed, said.broken, said.kinds))
