"""Forms of the quote pages: a draft as one form, acceptance by the customer or on their word."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from quotes.forms.amount_field import AmountField
from quotes.models import Acceptance, Issue, QuoteLine
from sizing.own_words import Form, ModelForm

MOST_QUANTITY = 100_000
_MONEY = {"max_digits": 12, "decimal_places": 4, "min_value": 0}
_A_SHARE = "Type what is taken off as a number from 0 to 100, such as 7.5."


def _number(**more: Any) -> forms.TextInput:
    return forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", **more})


class ShareField(forms.DecimalField):
    """Percent, which may be typed with its sign: 7.5 %."""

    def to_python(self, value: Any) -> Any:
        typed = (value or "").strip()
        return super().to_python(typed.removesuffix("%").strip() or typed)


class HeadForm(ModelForm):
    """Everything of a draft besides its lines."""

    freight = AmountField(
        required=False,
        label="Freight agreed",
        help_text="Leave it empty to take it from the freight rates.",
        widget=_number(),
        **_MONEY,
    )
    discount_percent = ShareField(
        required=False,
        label="Off list for this quote, %",
        help_text="Leave it empty to take the customer's terms.",
        widget=_number(),
        min_value=0,
        max_value=100,
        max_digits=7,
        decimal_places=4,
        error_messages=dict.fromkeys(("invalid", "min_value", "max_value"), _A_SHARE),
    )
    valid_days = forms.IntegerField(
        label="Holds for days", min_value=1, max_value=365, widget=_number()
    )

    class Meta:
        model = Issue
        fields = ("pickup", "ship_to", "freight", "discount_percent", "valid_days", "note")
        labels = {"ship_to": "Ships to", "pickup": "Picked up at the counter"}
        widgets = {"note": forms.Textarea(attrs={"rows": 2})}

    def __init__(self, *args: Any, may_discount: bool, **kwargs: Any) -> None:
        super().__init__(*args, use_required_attribute=False, **kwargs)
        if not may_discount:
            del self.fields["discount_percent"]
        for name in ("freight", "discount_percent"):
            if self.initial[name] is not None:
                self.initial[name] = f"{self.initial[name].normalize():f}"
        self.fields["ship_to"].queryset = self.instance.quote.customer.addresses.all()
        self.fields["ship_to"].empty_label = "no address yet"


def _quantity(**more: Any) -> forms.IntegerField:
    """How many a line has, with one sentence for whatever is wrong with it."""
    words = f"Type how many, from 1 to {MOST_QUANTITY:,}; a line that is not wanted is taken out."
    return forms.IntegerField(
        min_value=1,
        max_value=MOST_QUANTITY,
        error_messages=dict.fromkeys(("required", "invalid", "min_value", "max_value"), words),
        **{"widget": _number(), **more},
    )


class LineForm(Form):
    """One line of a draft. A part's price and words come from its table and are not asked for."""

    description = forms.CharField(required=False, max_length=500)
    quantity = _quantity()
    unit_price = AmountField(required=False, label="Price", widget=_number(), **_MONEY)
    taxable = forms.BooleanField(required=False)

    def __init__(self, line: QuoteLine, data: Mapping[str, str] | None = None) -> None:
        self.line = line
        # A special without a price leads to its enquiry.
        self.to_ask = next(iter(line.openings.all()), None) if line.is_unpriced_special else None
        initial = {name: getattr(line, name) for name in self.base_fields}
        if line.unit_price is not None:
            initial["unit_price"] = f"{line.unit_price.normalize():f}"
        super().__init__(
            data, initial=initial, prefix=f"line-{line.pk}", use_required_attribute=False
        )
        for name, field in self.fields.items():
            field.widget.attrs["aria-label"] = f"{field.label or name} of line {line.position + 1}"
        if line.kind == QuoteLine.Kind.PART:
            del self.fields["description"], self.fields["unit_price"]


class NewLineForm(Form):
    """A line made by hand."""

    description = forms.CharField(max_length=500, label="What")
    quantity = _quantity(initial=1, widget=_number(**{"aria-label": "Quantity of the new line"}))
    unit_price = AmountField(
        label="Price", widget=_number(**{"aria-label": "Price of the new line"}), **_MONEY
    )


class SendForm(Form):
    to = forms.EmailField(
        label="Send to",
        widget=forms.EmailInput(attrs={"autocomplete": "off"}),
        error_messages={
            "required": "Type the e-mail address it goes to.",
            "invalid": "This is no e-mail address: type one like name@place.com.",
        },
    )


class NameForm(Form):
    name = forms.CharField(
        max_length=300,
        label=_("Your name"),
        strip=True,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
        error_messages={"required": _("Type your name, so that we know whom to answer.")},
    )


class SignatureForm(NameForm):
    """The name of who accepts."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["name"].error_messages["required"] = _(
            "Type your name: it stands for your signature."
        )


def their_number(label: Any) -> forms.CharField:
    """The box for the number that the customer's own books have an order under."""
    return forms.CharField(
        required=False,
        max_length=40,
        label=label,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )


class TheirNumberForm(Form):
    """What whoever accepts may give besides the name."""

    their_number = their_number(_("Your order number, if you have one"))


class ChangeForm(Form):
    """What the customer asks or says is different: a text for each opening, and a remark last."""

    words = forms.CharField(
        required=False,
        max_length=4000,
        label=_("Anything else"),
        widget=forms.Textarea({"rows": 3}),
    )

    def __init__(self, openings: list[str], data: Mapping[str, str] | None = None) -> None:
        super().__init__(data, use_required_attribute=False)
        self.openings = openings
        for place, opening in enumerate(openings):
            self.fields[f"measures-{place}"] = forms.CharField(
                required=False,
                max_length=1000,
                label=opening,
                widget=forms.Textarea({"rows": 2}),
            )
        self.order_fields([name for name in self.fields if name != "words"])

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        if not any(said.values()):
            raise forms.ValidationError(
                _(
                    "Say what is different or what you would like to know, for one opening or in all."
                )
            )
        return said

    @property
    def measures(self) -> dict[str, str]:
        """{opening's name: what was said}"""
        said = (self.cleaned_data.get(f"measures-{at}", "") for at in range(len(self.openings)))
        return dict(zip(self.openings, said, strict=True))


class WordForm(NameForm):
    """Staff accept on the customer's word."""

    how = forms.ChoiceField(
        label="How they said so",
        choices=[c for c in Acceptance.How.choices if c[0] != Acceptance.How.LINK],
    )
    their_number = their_number("Their order number, if they gave one")
    measures_read_out = forms.BooleanField(
        label="I read every opening's measures to them and they agreed",
        error_messages={"required": "Read the measures out first: a wrong part can't be returned."},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, use_required_attribute=False, **kwargs)
        self.fields["name"].label = "Who accepted"
        self.fields["name"].widget.attrs["accesskey"] = "w"
        self.fields["name"].error_messages["required"] = "Type the name of the person who accepted."
