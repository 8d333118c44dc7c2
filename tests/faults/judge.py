"""Holds what was acknowledged against what is there: lost, doubled, by half. Pure; `kept.py` gathers.

A mail's second copy under its own Message-ID is one message to its receiver (RFC 5322, 3.6.4); SMTP
leaves no way to avoid it when the line is cut or the sender dies between taking and saying so. It
is counted, and allowed only where a row was tried more than once, and no oftener than faults came
that can lead to one.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

LOST, DOUBLED, HALVED = "lost", "doubled", "by half"


@dataclass
class Books:
    """What the desk acknowledged, and what was asked of it at all."""

    acts: Counter = field(default_factory=Counter)
    asked: set = field(default_factory=set)
    # {mark: (pieces by line, what else it says)} of what was asked, whether or not it was acknowledged.
    said: dict[tuple, tuple] = field(default_factory=dict)
    # {page: the caller, note and measures last acknowledged}
    requests: dict[str, tuple] = field(default_factory=dict)
    # Words that a page gave back without, though what was typed was not taken.
    words_lost: list[str] = field(default_factory=list)
    # Two clerks were both told that theirs is what counts.
    overwritten: list[str] = field(default_factory=list)
    # How many faults there were that each can lead to a mail's second copy.
    blows: int = 0


@dataclass
class Kept:
    """What is there in the end."""

    # How often each act asked for has happened, {mark: times}.
    acts: Counter = field(default_factory=Counter)
    # {mark: (pieces by line, what else it says)} of what has happened.
    said: dict[tuple, tuple] = field(default_factory=dict)
    # {page: [the caller, note and measures of each request made of it]}
    requests: dict[str, list[tuple]] = field(default_factory=dict)
    # {Message-ID: (what caused it, how often it was tried)}, and how often each arrived.
    mails: dict[str, tuple[str, int]] = field(default_factory=dict)
    box: Counter = field(default_factory=Counter)
    # The Message-IDs of those that something took the place of while they waited: they need not have arrived.
    dropped: set[str] = field(default_factory=set)
    # {Message-ID: (receiver, subject, the pages it leads to)}, as written, and as each copy came.
    written: dict[str, tuple] = field(default_factory=dict)
    came: dict[str, set[tuple]] = field(default_factory=dict)
    # What `verify` and the database's own check say.
    findings: list[str] = field(default_factory=list)


def judge(books: Books, kept: Kept) -> list[tuple[str, str]]:
    """Everything that is wrong: (LOST, DOUBLED or HALVED, a sentence)."""
    return [*_acts(books, kept), *_requests(books, kept.requests), *_mails(books, kept), *_letters(kept),
            *((HALVED, finding) for finding in kept.findings)]  # fmt: skip


def _acts(books: Books, kept: Kept) -> Iterator[tuple[str, str]]:
    for mark in books.acts:
        if not kept.acts[mark]:
            yield LOST, f"{mark} was acknowledged and has not happened"
    for mark, times in kept.acts.items():
        if times > 1:
            yield DOUBLED, f"{mark} has happened {times} times"
        if mark not in books.asked:
            yield DOUBLED, f"{mark} has happened, and nobody asked for it"
        said, asked = kept.said.get(mark), books.said.get(mark)
        if asked and said != asked:
            yield HALVED, f"{mark}: {asked} was asked for, {said} has happened"
    yield from ((LOST, f"typed and not given back: {words}") for words in books.words_lost)
    yield from ((LOST, f"overwritten unseen: {words}") for words in books.overwritten)


def _requests(books: Books, kept: Mapping[str, list[tuple]]) -> Iterator[tuple[str, str]]:
    for page, said in books.requests.items():
        there = kept.get(page, [])
        if not there:
            yield LOST, f"the request {said} was acknowledged and is not there"
        elif said not in there:
            yield HALVED, f"{said} was acknowledged, {there[0]} is there"
        if len(there) > 1:
            yield DOUBLED, f"the request {said} is there {len(there)} times"
    for page in kept.keys() - books.requests.keys():
        yield DOUBLED, f"the request {kept[page]} was never acknowledged"


def _mails(books: Books, kept: Kept) -> Iterator[tuple[str, str]]:
    mails, box = kept.mails, kept.box
    causes = Counter(cause for cause, _ in mails.values())
    for cause, times in causes.items():
        if times > 1:
            yield DOUBLED, f"{times} mails of {cause}"
    for message, (cause, tries) in mails.items():
        if not box[message]:
            if message in kept.dropped:
                continue
            yield LOST, f"the mail of {cause} never arrived"
        elif box[message] > tries:
            yield DOUBLED, f"the mail of {cause} arrived {box[message]} times in {tries} tries"
    second = sum(box.values()) - len(box)
    if second > books.blows:
        yield DOUBLED, f"{second} second copies of mails, and {books.blows} faults that lead to one"
    for message in box.keys() - mails.keys():
        yield DOUBLED, f"the mail {message} is of nothing that is there"


def _letters(kept: Kept) -> Iterator[tuple[str, str]]:
    """A mail that reached somebody else, or leads to somebody else's page, is none that arrived."""
    for message, copies in kept.came.items():
        written = kept.written.get(message)
        if written and copies != {written}:
            yield HALVED, f"the mail {written} came as {sorted(copies)}"
