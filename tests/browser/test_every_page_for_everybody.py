"""Every page there is, for eyes, ears, hands and small screens; the list comes from the URL patterns."""

import pytest

from tests.access import shop
from tests.browser.pages import bodies, pages, signed_in
from tests.browser.wcag import in_both

OVER = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
# Pictures that have neither a name nor a mark that they only decorate.
NAMELESS = """() => [...document.querySelectorAll("svg")].filter(svg =>
    !svg.closest("[aria-hidden=true]") && !(svg.getAttribute("role") === "img" &&
    (svg.getAttribute("aria-label") || svg.querySelector(":scope > title")?.textContent.trim())))
    .map(svg => svg.outerHTML.slice(0, 120))"""
MOVING = """() => [...document.querySelectorAll("*")].filter(e => {
    const style = getComputedStyle(e);
    return [style.transitionDuration, style.animationDuration].some(
        times => times.split(",").some(time => parseFloat(time) > 0));
    }).map(e => e.outerHTML.slice(0, 120))"""
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


def walked(browser, live_server, person, found):
    """(name of a page, the page opened wide and light), one after another."""
    with signed_in(browser, live_server.url, person) as page:
        for name, address in found.items():
            page.emulate_media(color_scheme="light")
            page.set_viewport_size({"width": 1280, "height": 900})
            page.goto(address)
            yield name, page


def wrong(page) -> list[str]:
    """What is wrong with a page that is open: by axe in light and dark, at its edge, in its drawings,
    and what moves on it though less of that was asked for."""
    said = in_both(page) + [f"no name: {svg}" for svg in page.evaluate(NAMELESS)]
    page.emulate_media(reduced_motion="reduce")
    said += [f"moves: {words}" for words in page.evaluate(MOVING)]
    page.emulate_media(reduced_motion="no-preference")
    page.set_viewport_size({"width": 320, "height": 256})
    over = page.evaluate(OVER)
    return said + ([f"{over} px over the edge at 320 px"] if over > 0 else [])


@pytest.mark.parametrize("role", shop.PEOPLE)
def test_page(browser, live_server, known, role):
    """No page fails axe in light or dark, runs off 320 px (400 % of 1280), has a drawing without a name, or a
    transition or an animation for who wants it still."""
    people, arguments = known
    found = pages(people[role], arguments)
    if role != "owner":
        # What reads the same as the owner's page is looked at once, there.
        full = bodies(people["owner"], found)
        mine = bodies(people[role], found)
        found = {name: at for name, at in found.items() if mine[name] != full[name]}
    at_fault = {
        name: wrong(page) for name, page in walked(browser, live_server, people[role], found)
    }
    assert {name: words for name, words in at_fault.items() if words} == {}
    assert len(at_fault) > (45 if role == "owner" else 0)


def test_focus_goes_through_every_page(browser, live_server, known):
    """The Tab key leads through each page and out of it, and what has the focus can be seen to have it."""
    people, arguments = known
    at_fault = {}
    for name, page in walked(
        browser, live_server, people["owner"], pages(people["owner"], arguments)
    ):
        stops, out = tabbed_through(page)
        unseen = [words for words in stops if words]
        if unseen or not out:
            at_fault[name] = unseen or f"no way out after {MOST} times Tab"
        assert stops, name
    assert at_fault == {}


def tabbed_through(page) -> tuple[list[str], bool]:
    """(for each stop of the Tab key, what is wrong with how it shows; whether Tab led out again)."""
    page.evaluate("document.activeElement?.blur()")
    page.evaluate(NOTE_FOCUS)
    stops: list[str] = []
    last = -1
    for pressed in range(10, MOST + 1, 10):
        for _ in range(10):
            page.keyboard.press("Tab")
        had = page.evaluate("window.had")
        for focus in had[pressed - 10 :]:
            if focus is None or focus[0] < last:
                return stops, True
            last = focus[0]
            stops.append(focus[1])
        if len(had) < pressed:
            return stops, True
    return stops, False
