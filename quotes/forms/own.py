"""Forms of one's own sign-in, and of the shop's rules for signing in and keeping."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.contrib.auth.password_validation import password_validators_help_texts

from quotes.models import Shop
from sizing.own_words import Form, ModelForm, OwnWords


class SignInForm(OwnWords, AuthenticationForm):
    error_messages = {
        "invalid_login": "No sign-in goes by this name and password: type both again. Capitals count in a password.",
        "inactive": "This person can't sign in any more: ask the owner.",
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = "Sign-in name"


# By names of their own, so that no check takes the sentences for passwords.
NOT_THE_PRESENT = "This is not your present password: type that one here."
NOT_ALIKE = "The two new passwords differ: type the same one twice."


class OwnPasswordForm(OwnWords, PasswordChangeForm):
    """One's own password, changed by whoever knows the present one."""

    error_messages = {"password_incorrect": NOT_THE_PRESENT, "password_mismatch": NOT_ALIKE}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["new_password1"].help_text = " ".join(password_validators_help_texts())


class CodeForm(Form):
    use_required_attribute = False
    code = forms.CharField(
        label="Code",
        max_length=40,
        help_text="The six digits that the app shows now, or one of your recovery codes.",
        widget=forms.TextInput(
            attrs={"autocomplete": "one-time-code", "autocapitalize": "none", "autofocus": True}
        ),
        error_messages={"required": "Type the six digits that the app shows now."},
    )


class FirstCodeForm(CodeForm):
    """The first code of an app, which shows that it was set up right."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["code"].help_text = "The six digits that the app shows now."
        self.fields["code"].widget.attrs.pop("autofocus")


class PasswordAgainForm(Form):
    use_required_attribute = False
    password = forms.CharField(
        label="Your password",
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
        error_messages={"required": "Type your password."},
    )


class RulesForm(ModelForm):
    """Who signs in with a code, how long a sign-in waits, how long words are kept."""

    use_required_attribute = False

    class Meta:
        model = Shop
        fields = ("code_required", "idle_minutes", "keep_months")
        labels = {"code_required": "Who has to sign in with a code"}
        help_texts = {
            "code_required": "Whoever has to is led to setting it up at the next sign-in. Everybody may."
        }

    idle_minutes = forms.IntegerField(
        label="Minutes after which an unused sign-in ends",
        min_value=5,
        max_value=720,
        help_text="Between 5 and 720; 120 is usual. Counts from each person's next sign-in. What was typed at the "
        "counter comes back after signing in again.",
        error_messages={
            "required": "Type a number of minutes, such as 120.",
            "invalid": "Type a whole number of minutes, such as 120.",
            "min_value": "Type 5 minutes or more.",
            "max_value": "Type 720 minutes (twelve hours) or less.",
        },
    )
    keep_months = forms.IntegerField(
        label="Months after which words are erased",
        required=False,
        min_value=1,
        max_value=240,
        help_text="Requests that never became a quote, uploaded schedules, the words of mails; 24 is usual, "
        "blank: never. What was sold, and the customers themselves, stay.",
        error_messages={
            "invalid": "Type a whole number of months, such as 24, or nothing.",
            "min_value": "Type 1 month or more, or nothing.",
            "max_value": "Type 240 months or less, or nothing.",
        },
    )
