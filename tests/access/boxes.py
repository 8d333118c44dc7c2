"""The forms of a page as it was sent, with their boxes."""

import re
from collections.abc import Iterator
from html import unescape

NO_TEXT = {"submit", "button", "checkbox", "radio", "file"}


def attribute(name: str, tag: str) -> str | None:
    found = re.search(rf'\b{name}="([^"]*)"', tag)
    return unescape(found[1]) if found else None


def forms_of(html: str, at: str) -> Iterator[tuple[str, set[str], dict[str, str]]]:
    """(method, addresses it is sent to, {box: what stands in it}) of each form of a page."""
    for form in re.findall(r"<form.*?</form>", html, re.DOTALL):
        tag = form[: form.index(">")]
        boxes = {}
        for one in re.findall(r"<(?:input|textarea|select|button)\b[^>]*>", form):
            name = attribute("name", one)
            if name and attribute("type", one) not in NO_TEXT - {"submit"}:
                boxes.setdefault(name, attribute("value", one) or "")
        live = set(re.findall(r'hx-post="([^"]+)"', form))
        yield attribute("method", tag) or "get", {attribute("action", tag) or at, *live}, boxes


def hidden_in(html: str) -> set[str]:
    """Names of what no person types: what a page carries along, and its buttons."""
    tags = re.findall(r"<(?:input|button)\b[^>]*>", html)
    return {
        attribute("name", tag) or ""
        for tag in tags
        if tag.startswith("<button") or attribute("type", tag) == "hidden"
    }
