"""A counter page's fields as a browser sends them."""

import re
from html import unescape
from html.parser import HTMLParser


def page(*openings: dict[str, str], version: int = 0, **head: str) -> dict[str, object]:
    """Each opening is {"m-upper_glass": "20", ...}, of the liner unless its family says otherwise."""
    fields: dict[str, object] = {
        "version": str(version),
        "openings": [str(at) for at in range(len(openings))],
        **head,
    }
    for at, opening in enumerate(openings):
        for name, text in {"family": "otter-liner", "quantity": "1", **opening}.items():
            fields[f"o{at}-{name}"] = text
    return fields


class _Fields(HTMLParser):
    """What a browser would send back of a page: inputs, chosen options and text areas by name."""

    def __init__(self) -> None:
        super().__init__()
        self.found: dict[str, list[str]] = {}
        self.inside = ""

    def handle_starttag(self, tag, attrs):
        a = dict(attrs)
        if tag == "input" and "name" in a:
            box = a.get("type") == "checkbox"
            if not box or "checked" in a:
                self.found.setdefault(a["name"], []).append(a.get("value") or ("on" if box else ""))
        elif tag in ("select", "textarea"):
            self.inside = a.get("name", "")
        elif tag == "option" and self.inside and "selected" in a:
            self.found.setdefault(self.inside, []).append(a.get("value", ""))

    def handle_data(self, data):
        if self.inside and self.lasttag == "textarea":
            self.found[self.inside] = [data.removeprefix("\n")]

    def handle_endtag(self, tag):
        if tag in ("select", "textarea"):
            self.inside = ""


def fields_of(response) -> dict[str, object]:
    """The fields of a page that came back, ready to be sent again."""
    parser = _Fields()
    parser.feed(response.content.decode())
    parser.found.pop("csrfmiddlewaretoken", None)
    return {name: values if len(values) > 1 else values[0] for name, values in parser.found.items()}


def words_of(response) -> str:
    """What a person reads on a page, on one line."""
    text = re.sub(r"<[^>]+>", " ", response.content.decode())
    return re.sub(r"\s+", " ", unescape(text))
