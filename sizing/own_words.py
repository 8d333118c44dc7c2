"""What is wrong with a box, in the desk's own words: which box, and what to type there.

Every form of the desk is a `Form` or a `ModelForm` of this module. Words that a field brings itself
(`error_messages`) come first; what a library would say of it is said here instead, in the reader's language.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS
from django.utils.text import capfirst

from sizing.wording import N_
from sizing.wording import gettext as _

_TWICE = N_("There is one like that already: change what is the same, or keep that one.")


class OwnWords:
    """Mixed into a form: its boxes' errors are in our words. Made only where there is an error."""

    def add_error(self, field: str | None, error: Any) -> None:
        if not isinstance(error, forms.ValidationError):
            error = forms.ValidationError(error)
        if hasattr(error, "error_dict"):
            for name, errors in error.error_dict.items():
                for one in errors:
                    self._in_own_words(name, one)
        else:
            for one in error.error_list:
                self._in_own_words(field or NON_FIELD_ERRORS, one)
        super().add_error(field, error)

    def _in_own_words(self, name: str, error: forms.ValidationError) -> None:
        field = self.fields.get(name)
        if error.code is None or self._has_own(field, error.code):
            return
        words = self._sentence(name, field, error)
        if words:
            error.message, error.params = words, None

    def _has_own(self, field: forms.Field | None, code: str) -> bool:
        """Whether the form's author said something about it."""
        if field is None:
            meta = getattr(getattr(self, "_meta", None), "error_messages", None) or {}
            return code in meta.get(NON_FIELD_ERRORS, {})
        said = field.error_messages.get(code)
        return said is not None and all(
            said is not usual.get(code) for usual in _usual(type(field))
        )

    def _sentence(self, name: str, field: forms.Field | None, error: forms.ValidationError) -> str:
        """The whole sentence; "" of what no library says."""
        if field is None:
            return _(_TWICE) if error.code == "unique_together" else ""
        if field.widget.is_hidden:
            # Nobody typed it, so there is no box to lead to.
            return _("The page has lost what it needs to be sent: open it again.")
        if error.code in ("required", "blank", "null"):
            words = _required(field)
        elif error.code == "invalid":
            words = _invalid(field)
        else:
            words = _(_SENTENCES.get(error.code, ""))
        return words.format(box=capfirst(str(self[name].label)), **_numbers(field, error))


class Form(OwnWords, forms.Form):
    """A form of the desk."""


class ModelForm(OwnWords, forms.ModelForm):
    """A form of the desk for a row."""


def _usual(kind: type[forms.Field]) -> Iterator[dict[str, Any]]:
    """What a library's fields say by themselves."""
    for one in kind.__mro__:
        if one.__module__.startswith("django."):
            yield one.__dict__.get("default_error_messages", {})


def _numbers(field: forms.Field, error: forms.ValidationError) -> dict[str, Any]:
    """What a sentence may name: the limit that was passed, and how long the text is."""
    given = error.params or {}
    return {
        "limit": given.get("limit_value", given.get("max", "")),
        "length": given.get("show_value", given.get("length", "")),
    }


def _required(field: forms.Field) -> str:
    if isinstance(field, forms.FileField):
        return _("{box}: choose the file first.")
    if isinstance(field.widget, forms.CheckboxInput):
        return _("{box}: tick it first.")
    if isinstance(field.widget, (forms.Select, forms.RadioSelect)):
        return _("{box}: choose one of the list.")
    return _("{box}: type it, it can't stay empty.")


def _invalid(field: forms.Field) -> str:
    # A number with decimals is a kind of whole number to the library.
    if isinstance(field, forms.DecimalField):
        return _("{box}: type a number with a point for the decimals, such as 12.50.")
    if isinstance(field, forms.IntegerField):
        return _("{box}: type a whole number in figures, such as 5.")
    if isinstance(field, forms.EmailField):
        return _("{box}: this is no e-mail address: type one like name@place.com.")
    return _("{box}: this can't be read: type it anew.")


_TOO_LONG = N_("{box}: {length} characters are too many: shorten it to {limit}.")
_DIGITS = N_("{box}: the number has too many digits: type a smaller or a rounder one.")
_NO_FILE = N_("{box}: the file did not come whole: choose it again.")
_SENTENCES = {
    "min_value": N_("{box}: type {limit} or more."),
    "max_value": N_("{box}: type {limit} or less."),
    "max_length": _TOO_LONG,
    "min_length": N_("{box}: type at least {limit} characters."),
    "max_digits": _DIGITS,
    "max_whole_digits": _DIGITS,
    "max_decimal_places": N_("{box}: round it: up to {limit} decimals are kept."),
    "invalid_choice": N_("{box}: there is no such choice: take one of the list."),
    "null_characters_not_allowed": N_("{box}: a character in it can't be kept: type it anew."),
    "missing": _NO_FILE,
    "empty": _NO_FILE,
    "unique": N_("{box}: there is one like that already: type another."),
}
