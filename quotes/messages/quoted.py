"""Earlier mails that a message carries along: they are not what the writer says now."""

from __future__ import annotations

import re

from quotes.messages.scan import Mask

_WROTE = re.compile(
    r"(?im)^[ \t]{0,4}(?:(?:on|am|el|le)\b[^\n]{0,120}\n?[^\n]{0,80}\b(?:(?:wrote|escribió|écrit)[ \t]{0,2}|schrieb\b[^\n:]{0,60}):(?=[ \t]{0,4}(?:$|>))|_{8,80}[ \t]{0,4}$\n[ \t]{0,4}from:)"
)
_PASSED_ON = re.compile(r"(?im)^[ \t]{0,4}-{2,12} ?(?:original|forwarded) message ?-{0,12}")
_HEADER = re.compile(
    r"(?im)^(?:subject|date|sent|to|cc|bcc|reply-to|message-id)[ \t]{0,2}:[^\n]{0,300}"
)
# The headings of a mail below the one that is written: as the programs of four languages put them.
_BELOW = re.compile(
    r"(?im)^[ \t*]{0,4}(?:from|von|de)[ \t*]{0,3}:[^\n]{0,200}\n"
    r"[ \t*]{0,4}(?:sent|to|date|subject|gesendet|an|datum|betreff|enviado|para|fecha|asunto|envoyé|à|objet)[ \t*]{0,3}:"
)
_PHONE = re.compile(r"\+?(?:\d[ ().-]{0,2}){10,}")
_SENT_FROM = re.compile(r"(?im)^[ \t]{0,4}(?:sent from my|get outlook for)[^\n]{0,80}")


_UNCHANGED = re.compile(
    r"(?i)\b(?:everything|all|the rest|rest of|others?|remaining|otherwise)\b[^.!?\n>]{0,40}\b(?:same|below|unchanged|"
    r"as (?:you have|before|quoted|is|was|in)|correct|stands?|right|good|fine|ok|okay)\b"
    r"|\bnothing(?: has|'s)? changed\b|\bresending\b"
)


_AGREED = re.compile(
    r"(?i)(?<!n't )(?<!not )(?<!before you )(?<!before we )\b(?:(?:please )?(?:go ahead|proceed)|(?:i |we )?confirm(?:ed)?|"
    r"(?:that(?:'s| is)|looks?|all) (?:right|correct|good)|yes,? please)\b"
)


def agreed(text: str, old: list[Mask]) -> bool:
    """Whether the writer only says yes to what was written earlier: please go ahead."""
    marked = [mask for mask in old if mask.kind == "quoted"]
    return bool(marked and _AGREED.search(text[: marked[0].start]))


def still_holds(text: str, old: list[Mask]) -> bool:
    """Whether the writer says that what was written earlier holds, or the rest of it."""
    marked = [mask for mask in old if mask.kind == "quoted"]
    return bool(marked and _UNCHANGED.search(text[: marked[0].start]))


def earlier(text: str, old: list[Mask]) -> str | None:
    """What was written earlier, in its place; None if nothing was."""
    marked = [mask for mask in old if mask.kind == "quoted"]
    if not marked:
        return None
    shown: list[str] = []
    at = 0
    for mask in marked:
        start = max(at, mask.start)
        shown += [
            re.sub(r"[^\n]", " ", text[at:start]),
            text[start : max(start, mask.end)].replace(">", " "),
        ]
        at = max(at, mask.end)
    return _WROTE.sub(lambda match: re.sub(r"[^\n]", " ", match.group()), "".join(shown))


def quoted(text: str) -> list[Mask]:
    """Stretches of a plain text that were written earlier or are mail headings.

    A quoted question that is answered on the next line is kept: it says what the answer is about.
    """
    found: list[Mask] = []
    lines = text.split("\n")
    start = 0
    for at, line in enumerate(lines):
        if line.lstrip().startswith(">"):
            follow = next((other for other in lines[at + 1 : at + 3] if other.strip()), "")
            answered = (
                line.rstrip().endswith(("?", ":"))
                and follow
                and not follow.lstrip().startswith(">")
            )
            if not answered:
                found.append(Mask("quoted", start, start + len(line)))
        start += len(line) + 1
    under = [
        next((m for m in line.finditer(text) if _written(text[: m.start()])), None)
        for line in (_PASSED_ON, _BELOW)
    ]
    ends = [m for m in (_WROTE.search(text), *under) if m]
    if ends:
        end = min(ends, key=lambda match: match.start())
        rest = text[end.start() :]
        below = [line.lstrip() for line in rest.split("\n")[1:] if line.strip()]
        inline = len({line.startswith(">") for line in below}) == 2
        found.append(Mask("quoted", end.start(), end.end() if inline else len(text)))
    found.sort(key=lambda mask: mask.start)
    found += [Mask("heading", m.start(), m.end()) for m in _HEADER.finditer(text)]
    found += [Mask("heading", m.start(), m.end()) for m in _SENT_FROM.finditer(text)]
    return found


def _written(text: str) -> bool:
    """Whether somebody wrote of a window there, or says yes to what is below. Who only passes a mail on (see below)
    wrote nothing that it could be earlier than."""
    own = [line for line in text.split("\n") if ":" not in line[:14]]
    said = _PHONE.sub("", "\n".join(own))
    return bool(re.search(r"\d", said) or _AGREED.search(said) or _UNCHANGED.search(said))
