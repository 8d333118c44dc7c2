"""A customer's message, read and laid out as boxes for the clerk to confirm, then made into a request."""

from quotes.pasted.box import PasteForm
from quotes.pasted.form import PastedForm, live_opening

__all__ = ["PasteForm", "PastedForm", "live_opening"]
