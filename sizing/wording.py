"""The one place where what a reader is told is put into the reader's language. Knows no Django.

The English stands where it is said, inside `_()`; `N_()` only marks a text that is kept as data and put
into `_()` where it is shown. Whoever runs the desk gives the translator (`sizing.apps` gives Django's);
without one everything is English.
"""

from __future__ import annotations

from contextlib import AbstractContextManager, nullcontext
from gettext import NullTranslations
from typing import Any

LANGUAGES = ("en", "es")

_translator: Any = NullTranslations()


def translate_with(translator: Any) -> None:
    """Anything with `gettext`, `ngettext`, `pgettext` and `override(language)`, such as django.utils.translation."""
    global _translator
    _translator = translator


def gettext(text: str) -> str:
    # An empty text asks a catalogue for its own heading.
    return _translator.gettext(text) if text else ""


def ngettext(one: str, many: str, count: int) -> str:
    return _translator.ngettext(one, many, count)


def pgettext(context: str, text: str) -> str:
    return _translator.pgettext(context, text)


def N_(text: str) -> str:
    return text


def language() -> str:
    """The reader's language now."""
    told = getattr(_translator, "get_language", None)
    return known((told() if told else "") or LANGUAGES[0])


def speaking(language: str) -> AbstractContextManager[None]:
    """Everything said inside is said in that language; in English where the desk does not speak it."""
    override = getattr(_translator, "override", None)
    return override(known(language)) if override else nullcontext()


def known(language: str) -> str:
    """The language itself if the desk speaks it, else English."""
    return language if language in LANGUAGES else LANGUAGES[0]
