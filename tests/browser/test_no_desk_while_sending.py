"""The network is there and the desk is not: the page stays with what was typed, and sends it once when the desk is back."""

import contextlib
import socket

import pytest
from django.test.testcases import LiveServerThread, QuietWSGIRequestHandler
from django.urls import reverse
from playwright.sync_api import expect
from pytest_django.live_server_helper import LiveServer

from quotes.models import Customer
from tests.browser.pages import signed_in
from tests.quotes.conftest import clerk_named


class Desk(LiveServer):
    """A server that can be stopped: what browsers keep open to it goes, too."""

    def __init__(self, address: str) -> None:
        super().__init__(address)
        self.open: list[socket.socket] = []
        taken = self.thread.httpd.get_request

        def get_request():
            found = taken()
            self.open.append(found[0])
            return found

        self.thread.httpd.get_request = get_request

    def halt(self) -> None:
        self.thread.terminate()
        for one in self.open:
            with contextlib.suppress(OSError):
                one.shutdown(socket.SHUT_RDWR)


def on_the_same_port(thread, connections_override=None):
    """A desk that is started again need not wait until its port is forgotten."""
    return thread.server_class(
        (thread.host, thread.port),
        QuietWSGIRequestHandler,
        allow_reuse_address=True,
        connections_override=connections_override,
    )


@pytest.fixture
def away(browser, live_server, tables, monkeypatch):
    """(page of a customer, its row, the posts it made, the desk's server): a number is typed, and somebody went for a coffee."""
    monkeypatch.setattr(LiveServerThread, "_create_server", on_the_same_port)
    server = Desk("localhost")
    customer = Customer.objects.create(name="Mara Quill", kind="homeowner")
    with signed_in(browser, server.url, clerk_named("ida")) as page:
        posts: list[str] = []
        page.on("request", lambda one: posts.append(one.url) if one.method == "POST" else None)
        page.clock.install()
        page.goto(reverse("customer", args=[customer.pk]))
        page.fill("#id_exemption_number", "VT 4711")
        page.clock.fast_forward("01:00")
        yield page, customer, posts, server
    server.stop()


def test_a_desk_that_was_stopped(away):
    """Not the browser's own page; once it is started again one press sends, one time."""
    page, customer, posts, server = away
    port = server.thread.port
    server.halt()
    page.press("#id_exemption_number", "Enter")
    expect(page.get_by_role("alert")).to_contain_text("nothing was sent")
    assert page.input_value("#id_exemption_number") == "VT 4711" and posts == []
    again = Desk(f"localhost:{port}")
    page.press("#id_exemption_number", "Enter")
    expect(page.locator(".messages")).to_be_visible()
    again.halt()
    customer.refresh_from_db()
    assert customer.exemption_number == "VT 4711" and len(posts) == 1


def test_pressed_twice_it_is_sent_once(away):
    """While the page asks for the desk, a second press is none."""
    page, _customer, posts, _server = away
    page.evaluate(
        "() => { const form = document.querySelector('#id_exemption_number').form;"
        " form.requestSubmit(); form.requestSubmit(); }"
    )
    expect(page.locator(".messages")).to_be_visible()
    assert len(posts) == 1


@pytest.mark.parametrize("status", [502, 504])
def test_what_stands_before_the_desk_is_not_the_desk(away, status):
    """A proxy answers that it finds nobody."""
    page, _customer, posts, _server = away
    page.route("**/desk*.svg", lambda route: route.fulfill(status=status))
    page.press("#id_exemption_number", "Enter")
    expect(page.get_by_role("alert")).to_contain_text("nothing was sent")
    assert posts == []


def test_a_desk_that_says_nothing(away):
    """After three seconds the page says so; it waits longer the next time, for a slow line is one."""
    page, customer, posts, _server = away
    held = []
    page.route("**/desk*.svg", lambda route: held.append(route))
    page.press("#id_exemption_number", "Enter")
    expect(page.get_by_role("alert")).to_contain_text("nothing was sent")
    page.press("#id_exemption_number", "Enter")
    page.wait_for_timeout(4000)
    assert len(held) == 2 and posts == []
    held[1].continue_()
    expect(page.locator(".messages")).to_be_visible()
    customer.refresh_from_db()
    assert customer.exemption_number == "VT 4711" and len(posts) == 1
