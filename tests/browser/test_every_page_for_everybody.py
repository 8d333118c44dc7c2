"""Every page there is, for eyes, ears, hands and small screens; the list comes from the URL patterns."""

import pytest

from tests.access import shop
from tests.browser.pages import bodies, pages, signed_in
from tests.browser.wcag import wrong

# After each press of Tab what has the focus: which stop it is, and what is wrong with how it shows.
# Out of the page it is null.
NOTE_FOCUS = """() => {
    const stops = new Map();
    window.had = [];
    addEventListener("keyup", () => {
        const it = document.activeElement;
        if (!it || it === document.body) return window.had.push(null);
        if (!stops.has(it)) stops.set(it, stops.size);
        const style = getComputedStyle(it), box = it.getBoundingClientRect();
        const seen = style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
        const there = box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth;
        window.had.push([stops.get(it), seen && there ? "" : it.outerHTML.slice(0, 120)]);
    }, true);
    }"""
MOST = 400


@pytest.fixture
def known(live_server, transactional_db, settings):
    """(people by role, arguments of every address) of a shop with one of everything."""
    settings.SITE_URL = live_server.url
    return shop.people(), shop.arguments()


@pytest.mark.parametrize("role", shop.PEOPLE)
def test_page(browser, live_server, known, role):
    """On every page the Tab key leads through and out, what has the focus can be seen to have it, and nothing
    is wrong with the page for eyes and small screens."""
    people, arguments = known
    found = pages(people[role], arguments)
    if role != "owner":
        # What reads the same as the owner's page is looked at once, there.
        full = bodies(people["owner"], found)
        mine = bodies(people[role], found)
        found = {name: at for name, at in found.items() if mine[name] != full[name]}
    at_fault = {}
    with signed_in(browser, live_server.url, people[role]) as page:
        for name, address in found.items():
            page.set_viewport_size({"width": 1280, "height": 900})
            page.goto(address)
            stops, out = tabbed_through(page)
            assert stops, name
            # Where the focus has come to there may lie something over the rest, such as the link to the content.
            page.evaluate("document.activeElement?.blur()")
            unseen = [f"has the focus and does not show it: {words}" for words in stops if words]
            lost = [] if out else [f"no way out after {MOST} times Tab"]
            at_fault[name] = unseen + lost + wrong(page)
    assert {name: words for name, words in at_fault.items() if words} == {}
    assert len(at_fault) > (45 if role == "owner" else 0)


def tabbed_through(page) -> tuple[list[str], bool]:
    """(for each stop of the Tab key, what is wrong with how it shows; whether Tab led out again)."""
    page.evaluate("document.activeElement?.blur()")
    page.evaluate(NOTE_FOCUS)
    stops: list[str] = []
    last = -1
    keys = page.keyboard
    for pressed in range(10, MOST + 1, 10):
        for _ in range(10):
            keys.press("Tab")
        had = page.evaluate("window.had")
        for focus in had[pressed - 10 :]:
            if focus is None or focus[0] < last:
                return stops, True
            last = focus[0]
            stops.append(focus[1])
        if len(had) < pressed:
            return stops, True
    return stops, False
