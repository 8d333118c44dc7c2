"""Every page there is, for eyes, ears, hands and small screens; the list comes from the URL patterns."""

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.access import shop
from tests.browser.pages import bodies, pages, signed_in

# Axe leaves the size of what is pressed (WCAG 2.2, 2.5.8) out unless asked.
EVERYTHING = {"rules": {"target-size": {"enabled": True}}}
CONTRAST = {"runOnly": ["color-contrast"]}
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
# What has the focus: itself, and what is wrong with how it shows.
FOCUS = """() => {
    const it = document.activeElement;
    if (!it || it === document.body) return null;
    window.stops ??= new Map();
    if (!window.stops.has(it)) window.stops.set(it, window.stops.size);
    const style = getComputedStyle(it), box = it.getBoundingClientRect();
    const seen = style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
    const there = box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth;
    return [window.stops.get(it), seen && there ? "" : it.outerHTML.slice(0, 120)];
    }"""


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


def violations(page, options=EVERYTHING) -> list[str]:
    found = Axe().run(page, options=options).response["violations"]
    return [f"{v['id']}: {n['html'][:120]}" for v in found for n in v["nodes"]]


def wrong(page) -> list[str]:
    """What is wrong with a page that is open: by axe wide, narrow and dark, at its edge, in its drawings."""
    said = violations(page) + [f"no name: {svg}" for svg in page.evaluate(NAMELESS)]
    page.emulate_media(color_scheme="dark")
    said += [f"dark: {words}" for words in violations(page, CONTRAST)]
    page.set_viewport_size({"width": 320, "height": 256})
    over = page.evaluate(OVER)
    return said + ([f"{over} px over the edge at 320 px"] if over > 0 else [])


@pytest.mark.parametrize("role", shop.PEOPLE)
def test_page(browser, live_server, known, role):
    """No page fails axe in light or dark, runs off 320 px (400 % of 1280), or has a drawing without a name."""
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
        page.evaluate("document.activeElement?.blur()")
        most, unseen, last = 400, [], -1
        for _ in range(most):
            page.keyboard.press("Tab")
            focus = page.evaluate(FOCUS)
            if focus is None or focus[0] < last:
                break
            last = focus[0]
            unseen += [focus[1]] if focus[1] else []
        else:
            unseen.append(f"no way out after {most} times Tab")
        if unseen:
            at_fault[name] = unseen
    assert at_fault == {}


def test_nothing_moves_for_who_wants_it_still(browser, live_server, known):
    """With reduced motion asked for, no page has a transition or an animation."""
    people, arguments = known
    at_fault = {}
    for name, page in walked(
        browser, live_server, people["owner"], pages(people["owner"], arguments)
    ):
        page.emulate_media(reduced_motion="reduce")
        at_fault[name] = page.evaluate(MOVING)
    assert {name: what for name, what in at_fault.items() if what} == {}
