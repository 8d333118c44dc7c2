"""An amount of money as people type it: $1,250.00 is 1250.00, and what could mean two things is refused."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from django import forms

AN_AMOUNT = "Type the price as a number with a point for the decimals, such as 214.50."
# Commas part thousands and nothing else; 118,40 stays refused, for it may be a price or its hundredfold.
_TYPED = re.compile(
    r"\$?\s*([0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]*)?)|\$\s*([0-9]+\.?[0-9]*|\.[0-9]+)"
)


# What a price is said to be for, and what that is called here.
_FOR_ONE = re.compile(
    r"(?P<amount>.*[0-9.])\s*(?:/\s*|per\s+|a\s+)?"
    r"(?:(?P<piece>each|ea|pc|piece)|(?P<pair>pr|pair))\.?",
    re.IGNORECASE,
)


class AmountField(forms.DecimalField):
    def __init__(self, **more: Any) -> None:
        more.setdefault("error_messages", {}).setdefault("invalid", AN_AMOUNT)
        super().__init__(**more)

    def to_python(self, value: Any) -> Decimal | None:
        found = _TYPED.fullmatch(value.strip()) if isinstance(value, str) else None
        if found:
            value = (found[1] or found[2]).replace(",", "")
        return super().to_python(value)


class UnitAmountField(AmountField):
    """The price of one piece or pair, `unit`, which may be typed with it: $128.40/pr.

    “Each” is a piece: of a pair it may be half of the price that is asked for.
    """

    unit = "piece"

    def to_python(self, value: Any) -> Decimal | None:
        found = _FOR_ONE.fullmatch(value.strip()) if isinstance(value, str) else None
        if found and not found[self.unit]:
            raise forms.ValidationError(
                f"We ask for the price of one {self.unit}, and this says “{found['piece'] or found['pair']}”: "
                f"type the price of one {self.unit}."
            )
        return super().to_python(found["amount"] if found else value)
