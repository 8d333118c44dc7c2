"""Whatever is called, well formed or not, the API answers as its own description says (schemathesis)."""

from functools import cache

import pytest
from django.core.signals import request_finished, request_started
from django.core.wsgi import get_wsgi_application
from django.db import close_old_connections
from hypothesis import HealthCheck, given, settings

from config.api import calls

OPERATIONS = [
    f"{method.upper()} {path}"
    for path, methods in calls.api.get_openapi_schema()["paths"].items()
    for method in methods
]
# What a measure's text may say no schema tells: an unreadable one is refused (422) though its form is right.
READS_WORDS = {"POST /api/requests"}
# Bounded: the whole file takes half a minute.
BOUNDED = settings(
    max_examples=30, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck)
)


@cache
def described():
    """Each call as its description has it. Made here: it takes a while, and not every run needs it."""
    import schemathesis

    schema = schemathesis.openapi.from_wsgi("/api/openapi.json", get_wsgi_application())
    return {found.ok().label: found.ok() for found in schema.get_all_operations()}


@pytest.fixture(autouse=True)
def connection_kept():
    """The application ends its connection after a call; here that would end the test's transaction."""
    for signal in (request_started, request_finished):
        signal.disconnect(close_old_connections)
    yield
    for signal in (request_started, request_finished):
        signal.connect(close_old_connections)


def of_a_known_family(case):
    """Half of the calls are about a family that there is, so that they come further than its name."""
    body = case.body
    if isinstance(body, dict):
        openings = body.get("openings")
        for asked in (body, *(openings if isinstance(openings, list) else ())):
            if isinstance(asked, dict) and isinstance(asked.get("family"), str):
                asked["family"] = "otter-liner" if len(asked["family"]) % 2 else asked["family"]
    return case


@pytest.mark.parametrize("mode", ["positive", "negative"])
@pytest.mark.parametrize("label", OPERATIONS)
def test_as_described(label, mode, web_shop, monkeypatch):
    """No call fails inside; status, headers and body of each answer are as described; what has the
    wrong form is refused."""
    from schemathesis import GenerationMode
    from schemathesis.specs.openapi.checks import positive_data_acceptance

    monkeypatch.setattr(calls.api, "throttle", [])
    statuses = set()

    @BOUNDED
    @given(case=described()[label].as_strategy(generation_mode=GenerationMode(mode)))
    def run(case):
        if mode == "positive":
            of_a_known_family(case)
        response = case.call_and_validate(
            headers={"Authorization": f"Bearer {web_shop.key}"},
            excluded_checks=[positive_data_acceptance] if label in READS_WORDS else [],
        )
        statuses.add(response.status_code)

    run()
    assert statuses - {401}


def test_every_call_is_described():
    """The description holds each call of the API."""
    assert described().keys() == set(OPERATIONS)
    assert len(OPERATIONS) == 8
