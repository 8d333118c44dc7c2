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


class AmountField(forms.DecimalField):
    def __init__(self, **more: Any) -> None:
        more.setdefault("error_messages", {}).setdefault("invalid", AN_AMOUNT)
        super().__init__(**more)

    def to_python(self, value: Any) -> Decimal | None:
        found = _TYPED.fullmatch(value.strip()) if isinstance(value, str) else None
        if found:
            value = (found[1] or found[2]).replace(",", "")
        return super().to_python(value)
