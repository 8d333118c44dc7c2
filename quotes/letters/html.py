"""The words of a mail as HTML, for mail programs that show it. Pure."""

from __future__ import annotations

import re
from html import escape

_ADDRESS = re.compile(r"https?://\S+")


def as_html(title: str, body: str, language: str = "en") -> str:
    """The same words for a mail program that shows HTML; addresses become links. No script, no picture."""
    paragraphs = "\n".join(
        f"<p>{_linked(block)}</p>" for block in body.strip().split("\n\n") if block.strip()
    )
    return (
        f'<!doctype html>\n<html lang="{language}"><head><meta charset="utf-8"><title>{escape(title)}</title>'
        f"</head>\n<body>\n{paragraphs}\n</body></html>\n"
    )


def _linked(block: str) -> str:
    out, at = [], 0
    for found in _ADDRESS.finditer(block):
        out.append(escape(block[at : found.start()]))
        out.append(f'<a href="{escape(found[0])}">{escape(found[0])}</a>')
        at = found.end()
    out.append(escape(block[at:]))
    return "".join(out).replace("\n", "<br>\n")
