"""The demo's size tables in force, and a program with its key."""

import json

import pytest
from django.core.cache import cache
from django.test import Client

from quotes.desk.integrations import make_integration
from tests.quotes.conftest import publish


class Program:
    """A program that calls the API. `sent` is the last answer's body."""

    def __init__(self, name: str) -> None:
        self.integration, self.key = make_integration(name, "ida")

    def call(self, method, path, body=None, **headers):
        text = body if isinstance(body, str) else "" if body is None else json.dumps(body)
        headers = {"HTTP_AUTHORIZATION": f"Bearer {self.key}"} | headers
        return Client(enforce_csrf_checks=True).generic(
            method, f"/api{path}", text, content_type="application/json", **headers
        )

    def post(self, path, body=None):
        return self.call("POST", path, body)

    def get(self, path):
        return self.call("GET", path)


@pytest.fixture(autouse=True)
def unhurried():
    """No test's calls count against another's."""
    cache.clear()


@pytest.fixture
def tables(db):
    return [publish(name) for name in ("otter-liner", "heron-balance", "heron-strip")]


@pytest.fixture
def web_shop(tables):
    return Program("web shop")


@pytest.fixture
def till(tables):
    return Program("till")
