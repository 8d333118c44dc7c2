"""Forms of the shop's own pages: its facts, a person's account, an invitation, a program."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.contrib.auth.password_validation import (
    password_validators_help_texts,
    validate_password,
)

from quotes.desk.shop import Account
from quotes.models import Shop
from sizing.own_words import Form, ModelForm
from sizing.place_fields import CountryField, RegionField, read_region
from sizing.prices import currencies

# What each role is for, in the order in which they are offered.
ROLE_WORDS = {
    "counter": "Counter: takes calls, makes and sends quotes, places orders",
    "manager": "Manager: also size tables, prices and specials",
    "staff": "Staff: reads, and answers when an order will ship",
    "owner": "Owner: everything, and who may sign in",
}


class ShopForm(ModelForm):
    """What papers and mails say of the shop, and what new customers begin with."""

    country = CountryField()
    region = RegionField(help_text="By its letters or its name, such as VT; blank if none.")

    class Meta:
        model = Shop
        fields = (
            "name", "address", "phone", "email", "country", "region", "town", "unit", "currency",
            "how_to_pay", "remind_customers", "paper",
        )  # fmt: skip
        help_texts = {
            "address": "One line, as it should stand on quotes.",
            "town": "For sales tax on what is picked up at the counter.",
            "unit": "How you and most of your customers measure. A size table keeps its own.",
            "currency": "What you price in. A size table keeps its own.",
            "how_to_pay": "As customers read it: an account, to whom a cheque is made out, whether cards are taken.",
            "remind_customers": "One mail, three days before the last day, about a quote that went by mail and "
            "that nobody has answered.",
            "paper": "For quotes, orders and measuring sheets.",
        }
        widgets = {
            "name": forms.TextInput(attrs={"autocomplete": "organization"}),
            "address": forms.TextInput(attrs={"autocomplete": "off"}),
            "phone": forms.TextInput(attrs={"autocomplete": "off", "inputmode": "tel"}),
            "how_to_pay": forms.Textarea(attrs={"rows": 3}),
        }
        error_messages = {
            "name": {"required": "Type the shop's name: quotes and mails begin with it."},
            "email": {"invalid": "This is no e-mail address: type one like name@place.com."},
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, use_required_attribute=False, **kwargs)
        self.fields["currency"] = forms.ChoiceField(
            label="Currency",
            choices=currencies(also=self.instance.currency),
            initial=self.instance.currency,
            help_text=self.fields["currency"].help_text,
        )

    def clean(self) -> dict[str, Any]:
        """Taxes go by the region, so one that the country does not have is refused."""
        said = super().clean()
        read_region(self)
        return said


class AccountForm(Form):
    """Name, sign-in name and a checked password of one person."""

    person = forms.CharField(
        label="Your name",
        max_length=150,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
        error_messages={"required": "Type your name."},
    )
    own_email = forms.EmailField(
        label="Your e-mail",
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
        error_messages={
            "required": "Type your e-mail address.",
            "invalid": "This is no e-mail address: type one like name@place.com.",
        },
    )
    username = forms.RegexField(
        r"^[\w.@+-]+\Z",
        label="Sign-in name",
        max_length=150,
        help_text="Short and easy to type; letters, digits and . @ + - _ only.",
        widget=forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "none"}),
        error_messages={
            "required": "Type a name to sign in with.",
            "invalid": "Only letters, digits and . @ + - _ can stand in a sign-in name.",
        },
    )
    password = forms.CharField(
        label="Password",
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        error_messages={"required": "Type a password."},
    )
    again = forms.CharField(
        label="The password again",
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        error_messages={"required": "Type the password a second time."},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, use_required_attribute=False, **kwargs)
        self.fields["password"].help_text = " ".join(password_validators_help_texts())

    def clean_person(self) -> str:
        return " ".join(self.cleaned_data["person"].split())

    def clean_username(self) -> str:
        name = self.cleaned_data["username"]
        if User.objects.filter(username__iexact=name).exists():
            raise forms.ValidationError(f"“{name}” is taken: choose another sign-in name.")
        return name

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        password, again = said.get("password"), said.get("again")
        if password and again and password != again:
            self.add_error("again", "The two passwords differ: type the same one twice.")
        elif password:
            first, _, last = said.get("person", "").partition(" ")
            user = User(
                username=said.get("username", ""),
                email=said.get("own_email", ""),
                first_name=first,
                last_name=last,
            )
            try:
                validate_password(password, user)
            except forms.ValidationError as error:
                self.add_error("password", error)
        return said

    @property
    def account(self) -> Account:
        said = self.cleaned_data
        return Account(said["person"], said["username"], said["own_email"], said["password"])


class InviteForm(Form):
    use_required_attribute = False
    name = forms.CharField(
        label="Name",
        max_length=150,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": "Type the person's name."},
    )
    email = forms.EmailField(
        label="E-mail",
        widget=forms.EmailInput(attrs={"autocomplete": "off"}),
        error_messages={
            "required": "Type the address the invitation goes to.",
            "invalid": "This is no e-mail address: type one like name@place.com.",
        },
    )
    role = forms.ChoiceField(label="Role", choices=list(ROLE_WORDS.items()))

    def ask_own_password(self) -> None:
        """An owner can do everything, so whoever invites one types their own password first."""
        self.fields["own_password"] = forms.CharField(
            label="Your own password",
            required=False,
            strip=False,
            help_text="You are inviting an owner, who may do everything.",
            widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
        )
        self.full_clean()
        self.add_error("own_password", "Type your own password to invite an owner.")


class ProgramForm(Form):
    use_required_attribute = False
    name = forms.CharField(
        label="Name of the program",
        max_length=60,
        help_text="Requests it sends are signed with this name.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": "Type a name, such as “web shop”."},
    )


class NewsForm(Form):
    use_required_attribute = False
    url = forms.URLField(
        label="Address that is told of news",
        required=False,
        assume_scheme="https",
        max_length=200,
        help_text="Each time a quote is issued or an order moves, we POST it there, signed. Blank: never.",
        error_messages={"invalid": "This is no address: type one like https://shop.example/news."},
    )
