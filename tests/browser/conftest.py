"""A real browser (Chromium) against a live server. Without Chromium the tests are skipped, in CI they fail."""

import os
import socket
from functools import wraps
from pathlib import Path

import pytest
from aiosmtpd.controller import Controller
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect, sync_playwright

from tests.browser.letters import Letterbox
from tests.quotes.conftest import clerk_named, publish

# The shell is the same engine without a browser's own windows, which took two fifths of a round. None: the last is named.
PLACES = ["/usr/bin/chromium-headless-shell", "/usr/bin/chromium"]
CHROMIUM = Path(os.environ.get("CHROMIUM") or next(filter(os.path.exists, PLACES), PLACES[-1]))
ARGS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
PASSWORD = "paper and ink 4711"


# What acts on a page, or reads off it at once. What waits by itself (expect, wait_for_...) is not here.
AT_ONCE = {
    Page: "check click evaluate fill focus input_value select_option",
    Locator: "all bounding_box check click count evaluate fill focus get_attribute input_value inner_text "
    "is_visible press select_option set_input_files uncheck",
}


def _once_loaded(act):
    """Whoever acts on a page has seen it: on a busy machine a test must not be ahead of its scripts."""

    @wraps(act)
    def wait_and_act(it: Page | Locator, *arguments, **more):
        (it if isinstance(it, Page) else it.page).wait_for_load_state()
        return act(it, *arguments, **more)

    return wait_and_act


@pytest.fixture(scope="session")
def browser():
    if not CHROMIUM.exists():
        missing = f"no Chromium at {CHROMIUM}: install it or set CHROMIUM"
        pytest.fail(missing) if os.environ.get("CI") else pytest.skip(missing)
    # The browser's event loop runs in this thread; the tests' own queries are still made one by one.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    # A busy machine is slow, not wrong.
    expect.set_options(timeout=20_000)
    with sync_playwright() as play, pytest.MonkeyPatch.context() as patch:
        patch.setattr(Page, "keyboard", property(_once_loaded(Page.keyboard.fget)))
        for kind, names in AT_ONCE.items():
            for name in names.split():
                patch.setattr(kind, name, _once_loaded(getattr(kind, name)))
        browser = play.chromium.launch(executable_path=str(CHROMIUM), args=ARGS)
        yield browser
        browser.close()
    del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


@pytest.fixture
def tables(transactional_db):
    """The demo's three tables in force."""
    return [publish(name) for name in ("otter-liner", "heron-balance", "heron-strip")]


@pytest.fixture
def clerk(browser: Browser, live_server, tables) -> BrowserContext:
    """A browser in which the clerk Mira is signed in. A page's script errors fail the test."""
    from django.test import Client

    mira = clerk_named("mira", password=PASSWORD)
    client = Client()
    client.force_login(mira)
    context = browser.new_context(base_url=live_server.url, viewport={"width": 1400, "height": 900})
    context.add_cookies(
        [{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}]
    )
    errors: list[str] = []
    context.on("weberror", lambda error: errors.append(str(error.error)))
    yield context
    context.close()
    assert errors == []


@pytest.fixture
def page(clerk: BrowserContext) -> Page:
    return clerk.new_page()


@pytest.fixture
def letterbox(settings, live_server):
    """A real SMTP server on loopback, and a desk that sends through it."""
    box = Letterbox()
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    controller = Controller(box, hostname="127.0.0.1", port=port)
    controller.start()
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", port
    settings.SITE_URL = live_server.url
    yield box
    controller.stop()
