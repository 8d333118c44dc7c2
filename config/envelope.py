"""What a request may weigh, and what every response carries besides its content.

The content policy itself is in the settings (CONTENT_SECURITY_POLICY); which pages are opened by an
unguessable link is in `config.access`.
"""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

from config.access import LINK, rule_of
from config.trouble import too_large
from sizing.workbook import MOST_FILE_BYTES

# The largest file that any page takes, and room for the form around it.
MOST_BYTES = MOST_FILE_BYTES + 2_000_000
# The desk needs none of the browser's instruments, and no page in it may ask for them.
PERMISSIONS = ", ".join(
    f"{name}=()"
    for name in (
        "accelerometer", "camera", "display-capture", "geolocation", "gyroscope", "magnetometer",
        "microphone", "midi", "payment", "screen-wake-lock", "serial", "usb", "xr-spatial-tracking",
    )
)  # fmt: skip

# Pages and papers that show people's data and have nothing to type into but a search, which is in the
# address. The browser keeps no copy of these. Of pages with boxes it must: some browsers (Firefox, by
# its source) give back what was typed on going back only if the page may be stored.
NOTHING_TYPED = frozenset(
    {
        "home", "when", "watch", "record", "month", "requests", "customers", "customer-data", "customer-double",
        "quotes", "quote-paper", "quote-sheet", "specials", "enquiry-paper", "orders", "factory-orders",
        "factory-order-paper", "schedule-workbook", "measuring-filled", "own",
    }
)  # fmt: skip


class Envelope:
    """Middleware: refuses a body that is too large before it is read; sets the headers."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if _weight(request) > MOST_BYTES:
            response = too_large(request, MOST_FILE_BYTES // 1_000_000)
        else:
            response = self.get_response(request)
        response.headers.setdefault("Permissions-Policy", PERMISSIONS)
        response.headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        rule = rule_of(request)
        if request.resolver_match and request.resolver_match.view_name == "sign-out":
            # What the browser kept of the desk's pages goes with the sign-in (over https).
            response["Clear-Site-Data"] = '"cache"'
        if rule and LINK in (rule.read, rule.write):
            # The address is the whole permission, so it goes to nobody else and is kept nowhere.
            response["Referrer-Policy"] = "no-referrer"
            response["X-Robots-Tag"] = "noindex, nofollow"
            response["Cache-Control"] = "no-store, private"
        elif request.resolver_match and request.resolver_match.view_name in NOTHING_TYPED:
            response["Cache-Control"] = "no-store, private"
        elif rule:
            # Shown again from the browser's own history, so nothing typed is lost; asked for anew
            # otherwise, and never kept by anything in between.
            response.headers.setdefault("Cache-Control", "private, no-cache")
        return response


def _weight(request: HttpRequest) -> int:
    said = request.headers.get("Content-Length", "")
    return int(said) if said.isascii() and said.isdigit() else 0
