"""How often an address may ask what everybody may ask. Counted in Django's cache, by the address's hash.

With the usual cache each process counts for itself, so the true limit is up to that many times higher.
"""

from __future__ import annotations

import time
from hashlib import sha256

from django.core.cache import cache
from django.http import HttpRequest


def within(what: str, request: HttpRequest, most: int, seconds: int) -> bool:
    """Count one more use of `what` from the request's address; True while there are at most `most`.

    Time runs in fixed spans of `seconds`, so a burst over a span's end may be twice as large.
    """
    who = sha256(request.META.get("REMOTE_ADDR", "").encode()).hexdigest()[:32]
    key = f"pace:{what}:{who}:{int(time.time() // seconds)}"
    cache.add(key, 0, seconds)
    try:
        return cache.incr(key) <= most
    except ValueError:  # Dropped from a full cache between the two lines.
        return True
