"""The database is busy while somebody types: told beside the boxes, which keep what was typed; told no longer once it is free."""

import sqlite3

from django.db import OperationalError
from playwright.sync_api import expect

from sizing import lookup


def busy(*said, **more):
    held = sqlite3.OperationalError("database is locked")
    held.sqlite_errorcode = sqlite3.SQLITE_BUSY
    raise OperationalError("database is locked") from held


def test_told_beside_the_boxes(page, monkeypatch):
    """The words stand where "Saved" does, the box keeps its text and the focus, and the next answer comes as ever."""
    page.goto("/counter/")
    page.select_option("#o0-family", "otter-liner")
    page.wait_for_selector("#o0-m-upper_glass")
    monkeypatch.setattr("quotes.views.counter_openings.in_force", busy)
    page.fill("#o0-m-upper_glass", "20 1/4")
    expect(page.locator("#saved")).to_contain_text("The database was busy")
    assert page.input_value("#o0-m-upper_glass") == "20 1/4"
    assert page.evaluate("document.activeElement.id") == "o0-m-upper_glass"
    monkeypatch.setattr("quotes.views.counter_openings.in_force", lookup.in_force)
    page.fill("#o0-m-opening", "47 7/8")
    expect(page.locator("#o0-drawing-about")).to_contain_text("20 1/4")


def test_told_above_a_page_without_such_a_place(page, monkeypatch):
    """Where nothing else is there to say it, a line above the page does, until the next answer."""
    page.goto("/when/")
    monkeypatch.setattr("ordering.views.when.find_orders", busy)
    page.fill("input[name=q]", "C-00001")
    expect(page.locator("#trouble")).to_contain_text("What you typed is still here")
    assert page.input_value("input[name=q]") == "C-00001"
    monkeypatch.undo()
    page.fill("input[name=q]", "C-00002")
    expect(page.locator("#trouble")).to_have_count(0)
