"""Somebody with a browser, and what they mean to do: they press, look, and press again."""

import http.client
import re
import time
from collections.abc import Callable
from dataclasses import dataclass
from urllib.parse import urlencode

from tests.faults.processes import HOST, Process

PASSWORD = "paper and ink 4711"
LONGEST = 60


@dataclass(frozen=True)
class Answer:
    """Status 0 is no answer at all."""

    status: int
    place: str = ""
    page: str = ""

    @property
    def is_yes(self) -> bool:
        """Whether the desk said that it was done."""
        return self.status == 302 and not self.place.startswith("/sign-in/")


@dataclass(frozen=True)
class Step:
    """One press of a button. `mark` names it in the books; `done` looks whether it has happened.

    `form` is what the page holds when it is pressed, read anew for each press.
    """

    mark: tuple
    person: "Person"
    path: str
    form: Callable[[], list[tuple[str, object]]]
    done: Callable[[], bool]
    typed: tuple[str, ...] = ()
    # What is asked for in the end: (pieces by line, what else it says).
    says: tuple = ()

    @property
    def button(self) -> str:
        first, second = self.mark
        return first if isinstance(first, str) else str(second)


class Person:
    def __init__(self, port: int, web: Process, name: str = "") -> None:
        self.port, self.web, self.name, self.session = port, web, name, ""

    def ask(self, method: str, path: str, form: object = None) -> Answer:
        """One request, and no second one."""
        body = urlencode(form) if form else None
        headers = {
            "Cookie": f"csrftoken={'t' * 32}; sessionid={self.session}",
            "X-CSRFToken": "t" * 32,
        }
        if body:
            headers["Content-Type"] = "application/x-www-form-urlencoded"
        connection = http.client.HTTPConnection(HOST, self.port, timeout=30)
        try:
            connection.request(method, path, body, headers)
            got = connection.getresponse()
            cookies = " ".join(got.headers.get_all("Set-Cookie") or ())
            if found := re.search(r"sessionid=([a-z0-9]+)", cookies):
                self.session = found[1]
            return Answer(got.status, got.headers.get("Location", ""), got.read().decode())
        except (OSError, http.client.HTTPException):
            return Answer(0)
        finally:
            connection.close()

    def press(self, step: Step) -> Answer:
        """Once; who has to sign in first does, and presses then. Who can't has no answer."""
        answer = self.ask("POST", step.path, step.form())
        if not answer.place.startswith("/sign-in/"):
            return answer
        return self.ask("POST", step.path, step.form()) if self.sign_in() else Answer(0)

    def sign_in(self) -> bool:
        """Whether the desk let them in: it can't while its disk is full."""
        self.session = ""
        until = time.monotonic() + LONGEST
        said = {"username": self.name, "password": PASSWORD}
        while not (answer := self.ask("POST", "/sign-in/", said)).is_yes:
            if "disk that the database is on is full" in answer.page:
                return False
            self.web.revive()
            if time.monotonic() > until:
                raise AssertionError(f"{self.name} cannot sign in: {answer.status} {answer.page}")
            time.sleep(0.05)
        return True
