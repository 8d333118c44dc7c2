"""Who wrote: name, telephone and e-mail of a message, and where in it they stand."""

from __future__ import annotations

import re
from dataclasses import dataclass

import phonenumbers

from quotes.messages.scan import Mask, listed
from quotes.messages.stretch import Stretch


@dataclass(frozen=True)
class Contact:
    """None where the message does not say; `words` holds what each was read from.

    The telephone is in E.164 (+12025550143) if it is a possible number, else as it was written.
    """

    name: str | None = None
    phone: str | None = None
    email: str | None = None
    words: tuple[tuple[str, Stretch], ...] = ()


_PHONE = re.compile(
    r"(?<![\w/.,'])[+(]{0,2}\d(?:(?:[-. ]|\)[ -]?| \()?\d){6,14}(?![\d/]|\.\d| ?\d{1,3}/)"
)
_SPELLED_OUT = re.compile(r"(?<![\w/.])\d(?:[ ,-]{1,2}\d){6,10}(?![\w/]|\.\d)")
_CALL = re.compile(r"\b(?:ph|phone|tel|telephone|call|cell|mobile|mob|reach|text|fax|number|no|contact)\b[^\n\d]{0,40}$", re.I)  # fmt: skip
_CAP = r"[A-Z][\w'’.-]{0,24}"
_NAME = rf"{_CAP}(?: (?:(?:van|de|von|der|la|di) ){{0,2}}{_CAP}){{0,3}}"
_THIS_IS = re.compile(
    rf"\b(?:[Tt]his is|[Mm]y name is|[Mm]y name's|[Nn]ame's|[Ii]t is|[Ii]t'?s|I am|I'm|[Cc]all from|[Ss]poke (?:to|with)|"
    rf"[Cc]aller(?: was| is)?|[Mm]essage from|[Nn]ote from)(?::| -)? (?P<name>{_NAME})"
    rf"|\b(?:[Aa]sk for|[Cc]ust(?:omer)?\.?|[Cc]ontractor|[Cc]lient|ATTN|[Aa]ttn|[Hh]omeowner) (?P<other>{_NAME})"
)
_LABEL = re.compile(
    rf"(?im:^[ \t*-]{{0,4}}(?:name|customer|caller|contact|cust|client|customer name|contact name|attn|for)[ \t]{{0,3}}[:=][ \t]{{0,3}})(?P<name>{_NAME})"
)
_FROM = re.compile(
    r"(?im)^from[ \t]*:[ \t]{0,4}\"?(?P<name>[^\W\d_][^\n\"<>@\[]{0,50}?)\"?[ \t]{0,4}(?=[<\n\[]|$)"
)
_CALLED = re.compile(
    rf"(?P<name>{_NAME}) (?:called|phoned|rang|stopped by|came in|on the phone|left a message|wants|needs)\b"
)
_CLOSING = re.compile(
    r"(?i)\b(?:thanks|thank you|thx|ty|regards|best|cheers|sincerely|yours|yours truly|kind regards|best regards|"
    r"warm regards|many thanks|respectfully|thanks again|thanks so much|thanks in advance|take care|cordially|ta|gruß|gruss|grüße|viele grüße|grüßen|danke|vielen dank|mfg|saludos|gracias|merci|cordialement)[ \t]{0,3}[,.!;:-]{0,2}[ \t]{0,3}"
    r"(?:\n[ \t]{0,4}){0,3}-{0,2} {0,2}(?P<rest>[^\n]{0,80})"
)
_DASHED = re.compile(rf"(?m)^[ \t]{{0,4}}(?:--?|~)[ \t]{{0,3}}(?P<name>{_NAME})[ \t]{{0,4}}$")
# The town before a state and its code, which are masked with a mark of their own: Dover ########.
_TOWN = re.compile(rf"(?<=, ){_CAP}(?: {_CAP}){{0,2}},? (?=#{{7}})")
# A stretch without stops; the point of an initial (P. Dunleavy) is none. What was masked is a stop.
_FRAGMENT = re.compile(r"(?:[^\n.!?;,/|()@:#]|(?<=\b[A-Z])\.){1,80}")
_ITS = re.compile(
    r"(?i)\b(?:its|it's|this is|name is|name's|ask for|thx|thanks|thank you|cheers)[ ,-]{1,2}(?P<name>[a-z]{2,20})(?=[ ]{0,3}(?:$|\n|[.!@]|from\b|at\b|with\b|over\b|here\b|again\b|calling\b))"
)
_TITLES = {
    "mr",
    "mrs",
    "ms",
    "miss",
    "dr",
    "señor",
    "señora",
    "senor",
    "senora",
    "contractor",
    "cust",
    "customer",
    "caller",
    "sir",
    "herr",
    "frau",
    "gracias",
    "contact",
    "name",
}
_ONLY_NAME = re.compile(rf"{_NAME}$")
_NO_NAMES = listed(
    "the a an i we it my our hi hello hey dear thanks thank please upper lower top bottom both glass pane panes "
    "opening window windows kitchen bath bathroom bedroom hall den porch sash finish color colour qty quantity "
    "need needs room sent from re fwd subject date to cc just for about what how when regards best cheers all "
    "not no yes ok okay so and or but also here there monday tuesday wednesday thursday friday saturday sunday "
    "january february march april may june july august september october november december "
    "office desk sales weight jamb track liner liners long short first second third one two three four five six "
    "urgent asap actually sorry wait correction phone tel cell email e-mail mobile address order quote customer "
    "again in advance very much you your everything everyone everybody somebody someone nobody they he she "
    "measure measured measurements sizes size note cottage oriel old new living dining "
    "confirmed approved agreed fax bonjour buenas buenos dias manager property superintendent "
    "tbd tba asap unknown none na usa count total gruß gruss hallo hola homeowner contractor repeat walk walk-in builder tenant that this ug lg op lp "
    "guten tag morgen abend danke vielen dank mfg mit freundlichen grüßen viele bitte tél tel téléphone teléfono telefon gracias merci bien cordialement "
    "over under about out fine good great call text ring unit apt apartment suite flat house floor lot"
)

# Of these, what people are called as well: one that ends a name belongs to it.
_SURNAMES = listed(
    "floor house hall lot long short glass pane bath porch kitchen good may march august best bottom"
)


def phones(text: str, region: str, measured: frozenset[str]) -> list[tuple[Mask, str]]:
    """Telephone numbers and where they stand. `measured` are words of measures: rows of sizes
    that only look like a number (455 455 1050) stand beside them."""
    found: list[tuple[Mask, str]] = []
    for match in [*_SPELLED_OUT.finditer(text), *_PHONE.finditer(text)]:
        if found and match.start() < found[-1][0].end and match.end() > found[-1][0].start:
            continue
        said = match.group().strip()
        digits = [c for c in said if c.isdecimal()]
        if not 7 <= len(digits) <= 15:
            continue
        start = text.rfind("\n", 0, match.start()) + 1
        asked = bool(_CALL.search(text[max(start, match.start() - 60) : match.start()]))
        marked = any(c in said for c in "+()") or said.count("-") + said.count(".") >= 2
        local = re.fullmatch(r"\d{3}[-.]\d{4}", said) is not None
        near = set(
            re.findall(r"[a-z]+", text[max(start, match.start() - 40) : match.start()].lower())
        )
        bare = " " in said and not marked
        # A national number of another country begins with 0, as no size does.
        trunk = (said[0] == "0" and len(digits) > 8) or match.re is _SPELLED_OUT
        trunk |= said.isdecimal() and len(digits) == 10
        trunk |= re.fullmatch(r"\d{3} 555 \d{4}", said) is not None
        if not (asked or marked or local or trunk) and near & measured:
            continue
        number = _possible("".join(digits) if "," in said else said, region)
        plain = number is not None and phonenumbers.is_valid_number(number)
        if bare and not (asked or trunk) and not (plain and len(said.split()) in (1, 3)):
            continue
        if number is None and not (asked or local or trunk):
            continue
        if match.re is _SPELLED_OUT and len(digits) not in (7, 10, 11):
            continue
        if not plain and not (asked or local or marked or trunk):
            continue
        written = (
            phonenumbers.format_number(number, phonenumbers.PhoneNumberFormat.E164)
            if number is not None and phonenumbers.is_possible_number(number) and len(digits) > 7
            else said
        )
        end = match.start() + len(match.group().rstrip())
        found.append((Mask("phone", match.start(), end), written))
    return found


def _possible(said: str, region: str) -> phonenumbers.PhoneNumber | None:
    try:
        number = phonenumbers.parse(said, region)
    except phonenumbers.NumberParseException:
        return None
    return number if phonenumbers.is_possible_number(number) else None


def names(text: str, unnamed: frozenset[str]) -> list[tuple[str, int, int]]:
    """Names and where they stand, the surest first. `unnamed` are words that are no names here."""
    found: list[tuple[str, int, int]] = []
    for pattern in (_THIS_IS, _LABEL, _FROM, _CALLED):
        for match in pattern.finditer(text):
            group = "name" if match.group("name") else "other"
            _add(found, match.group(group), match.start(group))
    for match in _CLOSING.finditer(text):
        rest, at = match.group("rest"), match.start("rest")
        piece = re.split(r"[,;|(\t@]| - |  ", rest)[0]
        if _ONLY_NAME.match(piece.strip(" .!")):
            _add(found, piece, at)
    for match in _DASHED.finditer(text):
        _add(found, match.group("name"), match.start("name"))
    if not found:
        _signed(text, found, unnamed)
    return found


def _signed(text: str, found: list[tuple[str, int, int]], unnamed: frozenset[str]) -> None:
    """A name that stands alone at the end of a message, or beside a telephone number or e-mail."""
    for match in _ITS.finditer(text):
        if match.group("name") not in unnamed | _NO_NAMES:
            found.append((match.group("name"), match.start("name"), match.end("name")))
            return
    likely: list[tuple[str, int, int]] = []
    pieces = [m for m in _FRAGMENT.finditer(text) if m.group().strip(" \t-~*")]
    for match in [*pieces[-5:]][::-1] if len(pieces) > 1 else []:
        said = match.group()
        if text[match.end() : match.end() + 1] in (":", "#"):
            continue
        words = [w for w in said.strip(" \t-~*.").split() if w.lower().strip(".") not in _TITLES]
        plain = {w.lower().strip(".,") for w in words}
        if not words or len(words) > 3 or plain & (unnamed | _NO_NAMES):
            continue
        if not all(
            w[0].isupper() and not any(c.isdecimal() or c in "=:#" for c in w) for w in words
        ):
            continue
        before = next((m for m in pieces if m.end() == match.start() - 1), None)
        if before and text[match.start() - 1] == "," and _name_alone(before.group(), unnamed):
            continue  # the company or town after the name
        name = " ".join(words).strip(" .,!-")
        start = text.find(words[0], match.start())
        if len(name) > 1 and start >= 0 and text[start : start + len(name)] == name:
            likely.append((name, start, start + len(name)))
    # Two words are rather a name than the one word of a town.
    found += sorted(likely, key=lambda at: " " not in at[0])[:1]


def _name_alone(said: str, unnamed: frozenset[str]) -> bool:
    words = said.strip(" \t-~*.").split()
    plain = {w.lower().strip(".") for w in words}
    return (
        0 < len(words) < 4
        and all(w[0].isupper() for w in words)
        and not plain & (unnamed | _NO_NAMES)
    )


def _add(found: list[tuple[str, int, int]], said: str, at: int) -> None:
    """Keep the words of a name up to the first that can be none."""
    kept: list[str] = []
    words = said.strip().split(" ")
    for word in words:
        unnamed = _NO_NAMES - (_SURNAMES if 0 < len(kept) == len(words) - 1 else set())
        if word.strip(".,!").lower() in unnamed or any(c.isdecimal() for c in word):
            break
        kept.append(word)
        if word.endswith(".") and len(word.rstrip(".")) > 2:
            break
    name = " ".join(kept).strip(" .,!-")
    if len(name) > 1 and (name[0].isupper()):
        start = at + said.find(name)
        found.append((name, start, start + len(name)))


def contact_of(
    text: str,
    shown: str,
    emails: list[Mask],
    numbers: list[tuple[Mask, str]],
    unnamed: frozenset[str],
) -> tuple[Contact, list[Mask]]:
    """The contact, and the stretches of its names. `shown` is the text less quoted earlier mails,
    a state and its code as #######, whatever else is masked as @."""
    called = names(_TOWN.sub(lambda match: "#" * len(match.group()), shown), unnamed)
    name = called[0][0] if called else None
    address = Stretch.of(text, emails[0].start, emails[0].end) if emails else None
    phone = numbers[0][1] if numbers else None
    words: list[tuple[str, Stretch]] = []
    if called:
        words.append(("name", Stretch.of(text, called[0][1], called[0][2])))
    if numbers:
        words.append(("phone", Stretch.of(text, numbers[0][0].start, numbers[0][0].end)))
    if address:
        words.append(("email", address))
    return Contact(name, phone, address, tuple(words)), [Mask("name", s, e) for _, s, e in called]
