"""How somebody is addressed whose name nobody has typed. Pure."""

from __future__ import annotations

import re

from quotes.documents.lettering import clean
from sizing.wording import gettext as _

_UNNAMED = "Caller of request {request}"
_BY_US = re.compile(_UNNAMED.format(request=r"\d+"))


def unnamed(request: int) -> str:
    """What the desk calls the caller of a request, by its number, of whom nothing is known."""
    return _UNNAMED.format(request=request)


def addressee(name: str) -> str:
    """Who a letter greets: by the name, or without one where there is none, only the desk's word for its
    absence, an e-mail address or a phone number."""
    named = any(c.isalpha() for c in name) and "@" not in name and not _BY_US.fullmatch(name)
    return clean(name) if named else _("customer")
