"""What axe-core finds wrong with a page that is open."""

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

# Axe leaves the size of what is pressed (WCAG 2.2, 2.5.8) out unless asked.
EVERYTHING = {"rules": {"target-size": {"enabled": True}}}
# The rules that look at colours: all that dark can change of a page that was looked at in light.
COLOURS = {"runOnly": ["color-contrast", "link-in-text-block"]}
BY_SCHEME = {"light": EVERYTHING, "dark": COLOURS}
# Most of its time goes into listing what it found to be right, which nobody reads.
BRIEFLY = {"resultTypes": ["violations"]}


def in_both(page: Page) -> list[str]:
    """What axe finds in light, and then in dark; the page is left in light."""
    page.emulate_media(color_scheme="light")
    found = violations(page)
    page.emulate_media(color_scheme="dark")
    found += [f"dark: {words}" for words in violations(page, "dark")]
    page.emulate_media(color_scheme="light")
    return found


def violations(page: Page, scheme: str = "light") -> list[str]:
    """“rule: element” of each violation; the page is shown in this scheme already."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE_SCRIPT)
    found = page.evaluate(
        "options => axe.run(options).then(results => results.violations)",
        {**BY_SCHEME[scheme], **BRIEFLY},
    )
    return [f"{v['id']}: {n['html'][:120]}" for v in found for n in v["nodes"]]
