"""Boxes of forms are drawn without templates, as Django's own templates draw them."""

import pytest
from django import forms
from django.conf import settings
from django.forms.renderers import DjangoTemplates
from django.test.html import parse_html

from config.boxes import DRAWN, Boxes

NASTY = "\n\"Hale & Sons\" <b>'47 7/8'</b>"
CHOICES = [("", "any"), ("a&b", "<Ash>"), ("slate", [("s1", 'grey "s"'), (2, "two")])]
BOXES = {
    "text": (forms.TextInput({"accesskey": "f", "autocomplete": "off"}), NASTY),
    "number": (forms.NumberInput({"min": 0, "required": True, "disabled": False}), 3),
    "mail": (forms.EmailInput(), ""),
    "nothing typed": (forms.TextInput({"title": NASTY}), None),
    "password": (forms.PasswordInput(), "kept to itself"),
    "hidden": (forms.HiddenInput(), NASTY),
    "day": (forms.DateInput({"type": "date"}), "2031-04-18"),
    "ticked": (forms.CheckboxInput(), True),
    "not ticked": (forms.CheckboxInput(), False),
    "text of lines": (forms.Textarea({"rows": 3}), NASTY),
    "no lines": (forms.Textarea(), None),
    "choice": (forms.Select(choices=CHOICES), "s1"),
    "choice of a number": (forms.Select({"id": "n"}, choices=CHOICES), 2),
    "no such choice": (forms.Select(choices=CHOICES), "ash"),
    "several": (forms.SelectMultiple(choices=CHOICES), ["a&b", "s1"]),
    "one of": (forms.RadioSelect(choices=CHOICES), "s1"),
    "file": (forms.ClearableFileInput(), None),
}  # fmt: skip


@pytest.mark.parametrize("what", BOXES)
def test_the_same_element(what):
    """Element, attributes and text are those of Django's template, whatever was typed."""
    box, value = BOXES[what]
    ours, theirs = (
        box.render(f"box-{NASTY}", value, {"id": "id_box"}, renderer)
        for renderer in (Boxes(), DjangoTemplates())
    )
    assert parse_html(ours) == parse_html(theirs)
    assert ours.strip() and "<b>" not in ours


def test_the_boxes_in_use_are_drawn():
    """The boxes of the settings are these, and the most frequent ones need no template."""
    assert settings.FORM_RENDERER == "config.boxes.Boxes"
    used = {box.template_name.removeprefix("django/forms/widgets/") for box, _ in BOXES.values()}
    assert set(DRAWN) - {"input.html"} < used
