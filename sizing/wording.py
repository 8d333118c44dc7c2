"""The one place where what a reader is told is put into the reader's language. Knows no Django.

The English stands where it is said, inside `_()`; `N_()` only marks a text that is kept as data and put
into `_()` where it is shown. Whoever runs the desk says where the catalogues of the other languages lie
(`sizing.apps`); without them everything is English.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from contextvars import ContextVar
from gettext import NullTranslations, translation
from pathlib import Path

LANGUAGES = ("en", "es")

# English is as it is said. A list asks a hundred times a page: a catalogue found by the language now is a tenth of
# the time in which Django finds its own.
_catalogues = {language: NullTranslations() for language in LANGUAGES}
_now = ContextVar("reader's language", default=LANGUAGES[0])
_beside: Callable[[str], AbstractContextManager[object]] = nullcontext


def translate_from(
    folder: Path, domain: str, beside: Callable[[str], AbstractContextManager[object]] = nullcontext
) -> None:
    """The other languages' catalogues are `folder`/LANGUAGE/LC_MESSAGES/`domain`.mo; `beside` is entered with the
    language wherever one is spoken, for texts that others say, as a library's forms do."""
    global _beside
    for language in LANGUAGES[1:]:
        _catalogues[language] = translation(domain, folder, [language], fallback=True)
    _beside = beside


def gettext(text: str) -> str:
    # An empty text asks a catalogue for its own heading.
    return _catalogues[_now.get()].gettext(text) if text else ""


def ngettext(one: str, many: str, count: int) -> str:
    return _catalogues[_now.get()].ngettext(one, many, count)


def pgettext(context: str, text: str) -> str:
    return _catalogues[_now.get()].pgettext(context, text)


def N_(text: str) -> str:
    return text


def language() -> str:
    """The reader's language now."""
    return _now.get()


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Everything said inside is said in that language; in English where the desk does not speak it."""
    language = known(language)
    before = _now.set(language)
    try:
        with _beside(language):
            yield
    finally:
        _now.reset(before)


def known(language: str) -> str:
    """The language itself if the desk speaks it, else English."""
    return language if language in LANGUAGES else LANGUAGES[0]
