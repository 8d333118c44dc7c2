"""What is wrong with a page that is open, for eyes, ears and small screens; most of it axe-core finds."""

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

# Axe leaves the size of what is pressed (WCAG 2.2, 2.5.8) out unless asked.
EVERYTHING = {"rules": {"target-size": {"enabled": True}}}
# The rules that look at colours: all that dark can change of a page that was looked at in light.
COLOURS = {"runOnly": ["color-contrast", "link-in-text-block"]}
BY_SCHEME = {"light": EVERYTHING, "dark": COLOURS}
# Most of its time goes into listing what it found to be right, which nobody reads.
BRIEFLY = {"resultTypes": ["violations"]}

# What is folded is a part of the page as well.
UNFOLD = """() => document.querySelectorAll("main details:not([open])").forEach(
    details => { details.open = true; details.dataset.was = "folded"; })"""
FOLD = """() => document.querySelectorAll("details[data-was]").forEach(
    details => { details.open = false; delete details.dataset.was; })"""
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


def wrong(page: Page) -> list[str]:
    """All that is wrong with a page in light, unfolded: by axe in light and dark, what runs off a smaller screen (320 px
    are 400 % of 1280), drawings without a name, what moves though less of that was asked for. Left as it was."""
    page.evaluate(UNFOLD)
    said = violations(page) + [f"no name: {svg}" for svg in page.evaluate(NAMELESS)]
    # One change of both, as each draws the page anew.
    page.emulate_media(color_scheme="dark", reduced_motion="reduce")
    said += [f"dark: {words}" for words in violations(page, "dark")]
    said += [f"moves: {words}" for words in page.evaluate(MOVING)]
    page.emulate_media(color_scheme="light", reduced_motion="no-preference")
    wide = page.viewport_size
    for width in (1024, 390, 320):
        page.set_viewport_size({"width": width, "height": 256})
        over = page.evaluate(OVER)
        said += [f"{over} px over the edge at {width} px"] if over > 0 else []
    page.set_viewport_size(wide)
    page.evaluate(FOLD)
    return said


def violations(page: Page, scheme: str = "light") -> list[str]:
    """“rule: element” of each violation; the page is shown in this scheme already."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE_SCRIPT)
    found = page.evaluate(
        "options => axe.run(options).then(results => results.violations)",
        {**BY_SCHEME[scheme], **BRIEFLY},
    )
    return [f"{v['id']}: {n['html'][:120]}" for v in found for n in v["nodes"]]
