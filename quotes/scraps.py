"""Finding people however their name, phone or mail is written. Pure; knows no Django."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable
from functools import lru_cache
from itertools import combinations

import phonenumbers

_TRANSLATED = str.maketrans(
    {"ß": "ss", "ø": "o", "Ø": "o", "æ": "ae", "Æ": "ae", "ł": "l", "Ł": "l", "đ": "d", "’": "'"}
)


# Fewer digits stand in nearly every phone number.
_TELLS = 5


def plain(text: str) -> str:
    """Lower case, without accents: "Benoît DUPRÉ" and "benoit dupre" are one."""
    if text.isascii() and text.isprintable():
        # As below, a dozen times sooner: most are such, and hundreds are read where nobody has the name.
        return text.casefold().strip()
    apart = unicodedata.normalize("NFKD", text.translate(_TRANSLATED))
    kept = (c for c in apart if c.isprintable() and not unicodedata.combining(c))
    return "".join(kept).casefold().strip()


def dialled(phone: str, country: str = "US") -> str:
    """A phone number as E.164, read with the country's habits; "" where it is none."""
    try:
        number = phonenumbers.parse(phone, country.upper() or None)
    except phonenumbers.NumberParseException:
        return ""
    if not phonenumbers.is_possible_number(number):
        return ""
    return phonenumbers.format_number(number, phonenumbers.PhoneNumberFormat.E164)


def digits(text: str) -> str:
    return re.sub(r"[^0-9]", "", unicodedata.normalize("NFKD", text))


def scraps_of(texts: Iterable[str], phones: Iterable[tuple[str, str]]) -> str:
    """All that somebody can be found by, in one text, each on a line of its own with an end before and behind it: plain
    words, then phones (typed, E.164) in digits, then each word of one or two letters in full (`by_itself`)."""
    lines = _lines(texts, phones)
    return _on_lines([*lines, *sorted(map(by_itself, _short_words(lines)))])


def scraps_of_call(
    caller: str, phone: str, email: str, note: str, country: str, labels: Iterable[str] = ()
) -> str:
    """The same of a call and its windows' labels, its phone read with the habits of the country (two letters). A note
    is half made of short words, and nobody looks for it by one alone."""
    phones = [(phone, dialled(phone, country))]
    return _on_lines(_lines([caller, email, *note.splitlines(), *labels], phones))


def _lines(texts: Iterable[str], phones: Iterable[tuple[str, str]]) -> list[str]:
    words = dict.fromkeys(plain(text) for text in texts if text.strip())
    numbers = {digits(number) for pair in phones for number in pair if digits(number)}
    return [*words, *sorted(numbers)]


def _on_lines(lines: list[str]) -> str:
    return "\n".join(["", *lines, ""]) if lines else ""


def by_itself(word: str) -> str:
    """How a word of one or two letters is found as one of its own: no index of triples knows where words end, and
    its letters stand in nearly every name. No word begins so."""
    return f"qxz{word}"


def _short_words(texts: Iterable[str]) -> set[str]:
    """Those of one or two letters: wu, st; none of a mail."""
    chunks = (chunk for text in texts for chunk in text.split() if "@" not in chunk)
    return {word for chunk in chunks for word in re.findall(r"[^\W\d_]+", chunk) if len(word) < 3}


def begun_with(word: str) -> list[str]:
    """How a word of `scraps_of` begins with this one."""
    return [f" {word}", f"\n{word}"]


def in_scraps(choices: list[str]) -> list[str]:
    """How one of the words of `wanted` stands in `scraps_of`: two letters begin a word, for inside of words they stand
    in nearly every name, and with what is before them they are a triple."""
    return begun_with(choices[0]) if len(choices[0]) == 2 else choices


def words_of(scrap: str) -> list[str]:
    """The words to look for, eight at most, of what is typed or pasted. A phone number typed with spaces or marks is
    one word: "(802) 555-0142 marsh" is two. What only names the number behind it, greets, joins or stands around a
    word is none: "Order C 12?" is C-12, "Mrs. Alder & Son" is Alder, Son, "C-12 – Ada" is C-12, Ada, "3 Quarry Rd" is 3,
    Quarry. Nor is what asks: "is the order for Ada ready" is Ada, ready; somebody may be called so, and where that finds
    nothing it is `tellings` that is looked for.
    """
    return _words(scrap)[:8]


def _words(scrap: str) -> list[str]:
    # PostgreSQL is asked for no NUL, and nothing it keeps has one.
    numbers = _OWN_NUMBER.sub(r"\1-\2", bare_number(scrap.replace("\0", "")))
    joined = re.sub(r"(?<=[\d)])[\s().\-/]+(?=[\d(])", "", numbers)
    # "Winslow, Ada" as it is copied from a list, <ada@winslow.example> from a mail.
    stripped = (one.strip(_AROUND).rstrip(f".{_AROUND}") for one in joined.split())
    words = [word for word in stripped if word]
    telling = [w for w in words if w.casefold() not in _TELLS_NOTHING and any(map(str.isalnum, w))]
    return telling or words


def tellings(scrap: str) -> list[str]:
    """What a sentence is about, in what order it is looked for where the sentence finds nothing: "when will May Ada's
    order ship" is May Ada, then Ada; of what is no sentence, and of one that names nobody, nothing.

    A word that only makes a sentence is a name where it is written as one, unless it stands first.
    """
    words, begins = _words(_A_TIME.sub(" ", scrap)), scrap.split()[:1]
    apart = [(word, word.casefold() in _OF_A_SENTENCE) for word in words]
    named = [w for w, idle in apart if not idle or (w.istitle() and [w] != begins)]
    told = [w for w, idle in apart if not idle]
    found = [" ".join(re.sub(r"['’]s$", "", w) for w in some[:8]) for some in (named, told)]
    as_typed = " ".join(words)
    return [one for one in dict.fromkeys(found) if one and one != as_typed]


def bare_number(scrap: str) -> str:
    """A scrap without what only names the number in it: "order no. K-4711" is K-4711."""
    return _NAMES_A_NUMBER.sub("", scrap.strip())


_NAMES_A_NUMBER = re.compile(
    r"(?i)#\s*(?=\d)|\b(?:factory\s+)?(?:order|quote|request|number|no|nr|po)\b\.?[\s#:]+"
    r"(?=(?:order|number|no|nr)\b|[a-z]{1,3}[\s-]*\d|\d)"
)
_OWN_NUMBER = re.compile(r"(?i)\b([cf])\s+(\d)")
_AROUND = ',;:?!()<>[]"“”„«»‘’'
# What kind of a street it is one writes out and the other does not (3 Quarry Rd, 3 Quarry Road). Lane and Court are
# people's names as well.
_STREETS = {
    "rd",
    "road",
    "st",
    "str",
    "street",
    "ave",
    "avenue",
    "blvd",
    "boulevard",
    "hwy",
    "highway",
    "ln",
    "ct",
}
# What makes a question of a name; whoever is called so is among what the rest finds.
_ASKING = "is are was were does did has have the for from of about when where what which order orders ordered quote"
_ASKS = set(_ASKING.split())
_TELLS_NOTHING = {"and", "mr", "mrs", "ms", "miss", "sr", "sra", *_STREETS, *_ASKS}
# The other words of such sentences, many of them names as well: Will, May, Day, Weeks, Long, An, Do, My, To.
_ANY_SENTENCE = (
    "a an i it its he she we they you me us my our your his her their this that these any some "
    "will may can could should would do be been get got going come comes coming came go "
    "to on in at by with out up if how long soon late later now still yet already "
    "ship ships shipped shipping leave leaves leaving left arrive arrives arrived arriving due done ready expected "
    "last next week weeks month months day days today yesterday tomorrow "
    "monday tuesday wednesday thursday friday saturday sunday morning "
    "status news update eta there here please hi hello thanks call called calls calling ask asks asked asking "
    "want wants wanted need needs know new placed made job customer"
)
_OF_A_SENTENCE = _ASKS | set(_ANY_SENTENCE.split())
# Two weeks are no number of an order.
_A_TIME = re.compile(r"(?i)\b\d{1,2}\s+(?:day|week|month)s?\b")


def wanted(scrap: str) -> list[list[str]]:
    """What to look for, all of it: for each word, the texts of which one must stand in the scraps."""
    found = []
    for word in words_of(scrap):
        choices = [plain(word), *_apostrophes(plain(word))]
        number = digits(word)
        if len(number) >= 3 and not re.search(r"[^\W\d_]", word):
            # Typed at home with the trunk's 0 or 1, kept with the country's code, or the other way round.
            without = (number.lstrip("0"), number.removeprefix("1"))
            choices += [number, *(bare for bare in without if len(bare) >= _TELLS)]
        found.append([choice for choice in dict.fromkeys(choices) if choice])
    return found


def _apostrophes(word: str) -> list[str]:
    """O'Hara as ohara, and the other way round: few people type the mark, or the same one."""
    if "'" in word:
        return [word.replace("'", "")]
    return [f"{word[0]}'{word[1:]}"] if re.match(r"[odl][^\W\d_]{3}", word) else []


def outlines(name: str) -> list[tuple[str, str]]:
    """What a name that is nearly the same shares of this one: two of how its first word begins and how its
    last begins and ends. Three letters each, so that an index of triples finds them; none of a shorter name.
    """
    words = [word for word in re.findall(r"\w+", plain(name)) if len(word) >= 3]
    if not words:
        return []
    ends = dict.fromkeys((words[0][:3], words[-1][:3], words[-1][-3:]))
    return list(combinations(ends, 2)) or [(words[0], words[0])]


def likeness(one: str, other: str) -> float:
    """How much two names share, 0 to 1: pairs of letters, each word by itself (Sørensen-Dice)."""
    a, b = _pairs(one), _pairs(other)
    letters = a.total() + b.total()
    return 2 * (a & b).total() / letters if a and b else 0.0


@lru_cache(maxsize=1024)
def _pairs(name: str) -> Counter[str]:
    words = re.findall(r"\w+", plain(name))
    return Counter(word[at : at + 2] for word in words for at in range(len(word) - 1))
