"""The judge of the fault harness finds each way in which a desk can lose, double or halve something."""

from collections import Counter

import pytest

from tests.faults.judge import DOUBLED, HALVED, LOST, Books, Kept, judge

SAID = ("Mara Quill", "two windows", ("20 1/4", "22"))
PIECES = ((1, 3), (2, 1)), ""
MAIL = "mara@quill.example", "Order C-00007 is placed", ("http://x/o/7/",)


def books() -> Books:
    """One order placed and sent, one request of two windows; all acknowledged."""
    acts = Counter({(7, "placed"): 1, (7, "sent"): 1})
    return Books(
        acts=acts, asked={(7, "placed"), (7, "sent")}, said={(7, "placed"): PIECES},
        requests={"a page": SAID}, blows=3,
    )  # fmt: skip


def kept() -> Kept:
    """All of it there, with its mails; one of them arrived again when it was tried again."""
    return Kept(
        acts=Counter({(7, "placed"): 1, (7, "sent"): 1}),
        requests={"a page": [SAID]},
        mails={"<1@x>": ("event 1, placed", 1), "<2@x>": ("F-1, factory", 2)},
        box=Counter({"<1@x>": 1, "<2@x>": 2}),
        said={(7, "placed"): PIECES},
        written={"<1@x>": MAIL},
        came={"<1@x>": {MAIL}},
    )


# Each spoils what is kept of a sound shop, and says what is to be found.
SPOILT = {
    "an acknowledged act is gone": (lambda k: k.acts.pop((7, "sent")), LOST),
    "an act happened twice": (lambda k: k.acts.update([(7, "placed")]), DOUBLED),
    "an act that nobody asked for": (lambda k: k.acts.update([(8, "placed")]), DOUBLED),
    "a request is gone": (lambda k: k.requests.clear(), LOST),
    "an act with fewer pieces": (
        lambda k: k.said.update({(7, "placed"): (((1, 3),), "")}), HALVED),
    "an act for another day": (
        lambda k: k.said.update({(7, "placed"): (PIECES[0], "2031-03-04")}), HALVED),
    "a request without one of its windows": (
        lambda k: k.requests.update({"a page": [(*SAID[:2], SAID[2][:1])]}), HALVED),
    "a request with another measure": (
        lambda k: k.requests.update({"a page": [(*SAID[:2], ("20 1/4", None))]}), HALVED),
    "a request with an older note": (
        lambda k: k.requests.update({"a page": [("Mara Quill", "", SAID[2])]}), HALVED),
    "a mail to somebody else": (
        lambda k: k.came.update({"<1@x>": {("ida@lorne.example", *MAIL[1:])}}), HALVED),
    "a mail that leads to somebody else's page": (
        lambda k: k.came.update({"<1@x>": {(*MAIL[:2], ("http://x/o/8/",))}}), HALVED),
    "a page made into two requests": (lambda k: k.requests["a page"].append(SAID), DOUBLED),
    "a request that nobody typed": (lambda k: k.requests.update({"other": [SAID]}), DOUBLED),
    "a mail that never arrived": (lambda k: k.box.pop("<1@x>"), LOST),
    "a mail twice in one try": (lambda k: k.box.update(["<1@x>"]), DOUBLED),
    "a mail more often than it was tried": (lambda k: k.box.update(["<2@x>"]), DOUBLED),
    "two mails of one cause": (
        lambda k: (k.mails.update({"<3@x>": ("event 1, placed", 1)}), k.box.update(["<3@x>"])), DOUBLED),
    "a mail of nothing": (lambda k: k.box.update(["<9@x>"]), DOUBLED),
    "what verify finds": (lambda k: k.findings.append("C-00007 has no line."), HALVED),
}  # fmt: skip


def test_nothing_in_a_sound_shop():
    """What is there as it was acknowledged is no finding, nor is a second copy of a second try."""
    assert judge(books(), kept()) == []


@pytest.mark.parametrize("what", SPOILT)
def test_each_is_found(what):
    """Found once, as what it is."""
    spoil, kind = SPOILT[what]
    there = kept()
    spoil(there)
    assert [found for found, _ in judge(books(), there)] == [kind]


def test_second_copies_that_no_fault_explains():
    """Each try of a mail may have arrived, but not without a fault after which nobody knows."""
    said = books()
    said.blows = 0
    assert [found for found, _ in judge(said, kept())] == [DOUBLED]


@pytest.mark.parametrize("book", ["words_lost", "overwritten"])
def test_words_are_not_lost(book):
    """Typed words that did not come back, and a note overwritten unseen, are lost."""
    said = books()
    getattr(said, book).append("note of ann")
    assert [found for found, _ in judge(said, kept())] == [LOST]


def test_what_was_overtaken_need_not_arrive():
    """A mail that was dropped while it waited is not lost; twice in one try it is still doubled."""
    there = kept()
    there.dropped.add("<1@x>")
    there.box.pop("<1@x>")
    assert judge(books(), there) == []
    there.box.update(["<1@x>"] * 2)
    assert [found for found, _ in judge(books(), there)] == [DOUBLED]
