"""The page at /api/: each call at work, for whoever writes the other program."""

from __future__ import annotations

import json

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from config.api.worked import FIRST, NEWS, VARIES, WORKED, Worked


@login_not_required
@require_safe
def worked_calls(request: HttpRequest) -> HttpResponse:
    context = {
        "calls": [_shown(call) for call in WORKED],
        "news": _text(NEWS),
        "site": settings.SITE_URL,
        "first": json.dumps(FIRST, ensure_ascii=False),
        "varies": VARIES,
    }
    return render(request, "api/worked.html", context)


def _shown(call: Worked) -> dict[str, object]:
    return {
        "call": call,
        "body": _text(call.body) if call.body is not None else "",
        "answer": _text(call.answer),
    }


def _text(value: object) -> str:
    return json.dumps(value, indent=2, ensure_ascii=False)
