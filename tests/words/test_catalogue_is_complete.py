"""The Spanish catalogue holds every marked text, whole, and is compiled as it stands."""

import re
from string import Formatter

import pytest

from config import catalogue

PERCENT = re.compile(r"%\(\w+\)s")


def messages():
    return [message for message in catalogue.kept() if message.id]


def english_of(message) -> list[str]:
    return list(message.id) if isinstance(message.id, tuple) else [message.id]


def spanish_of(message) -> list[str]:
    return list(message.string) if isinstance(message.string, (list, tuple)) else [message.string]


def holes(text: str) -> set[str]:
    named = {field for _, field, _, _ in Formatter().parse(text) if field}
    return named | set(PERCENT.findall(text))


@pytest.fixture(scope="module")
def marked():
    return catalogue.marked()


def test_every_marked_text_is_there(marked):
    """A text marked in code or template is in the catalogue: a new one without Spanish fails here."""
    kept = {(english_of(message)[0], message.context or "") for message in messages()}
    assert sorted(set(marked) - kept) == []


def test_nothing_is_kept_that_nobody_says(marked):
    """The catalogue holds no text that has gone from the code."""
    kept = {(english_of(message)[0], message.context or "") for message in messages()}
    assert sorted(kept - set(marked)) == []


def test_several_have_their_own_words(marked):
    """What is said of one and of several has both forms."""
    for message in messages():
        one, *_ = english_of(message)
        if marked[one, message.context or ""].many:
            assert len(spanish_of(message)) == 2, one


def test_none_is_empty_or_doubtful():
    """No text is without its Spanish, and none waits to be looked at."""
    assert [m.id for m in messages() if catalogue.empty(m) or m.fuzzy] == []


@pytest.mark.parametrize("message", messages(), ids=lambda m: english_of(m)[0][:40])
def test_what_is_filled_in_agrees(message):
    """The Spanish is filled with the same things as the English, and ends its lines alike."""
    english, spanish = english_of(message), spanish_of(message)
    for words in spanish:
        assert holes(words) == holes(english[-1]), words
        assert words.count("\n") == english[-1].count("\n")
        assert words == words.strip() or english[0] != english[0].strip()


def test_compiled_file_is_the_catalogue():
    """The compiled file is what the text file says: nobody forgot `make words`."""
    assert catalogue.MO.read_bytes() == catalogue.compiled(catalogue.kept())


def test_catalogue_is_written_as_make_words_writes_it():
    """The text file stands as the command leaves it, so that a change shows only what changed."""
    assert catalogue.PO.read_bytes() == catalogue.written(catalogue.renewed(catalogue.kept()))


def test_a_mark_in_code_is_found(tmp_path, monkeypatch):
    """Each kind of mark is found with its context and plural; a text put together is not taken for one."""
    (tmp_path / "quotes").mkdir()
    (tmp_path / "templates").mkdir()
    (tmp_path / "quotes" / "said.py").write_text(
        '_("one"); N_("two" " and more"); ngettext("{n} day", "{n} days", n)\n'
        'pgettext("month", "May"); _(variable); other("no mark")\n'
    )
    (tmp_path / "templates" / "page.html").write_text(
        '{% load i18n %}{% translate "three" %}{% blocktranslate %}four {{ five }}{% endblocktranslate %}'
    )
    monkeypatch.setattr(catalogue, "ROOT", tmp_path)
    found = {(m.context, m.one, m.many) for m in catalogue.marked().values()}
    assert found == {
        ("", "one", ""), ("", "two and more", ""), ("", "{n} day", "{n} days"), ("month", "May", ""),
        ("", "three", ""), ("", "four %(five)s", ""),
    }  # fmt: skip
