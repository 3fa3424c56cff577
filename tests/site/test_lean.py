"""Selects come out as Django writes them, only sooner."""

import pytest
from django import forms
from django.forms.renderers import DjangoTemplates
from django.utils.safestring import mark_safe
from django.utils.translation import gettext_lazy

from grower.lean import LeanRenderer

PLAIN = [("", "---------"), (1, "one & <two>"), ("a\"b'", gettext_lazy("Bunch lines"))]


class Radios(forms.RadioSelect):
    """A widget that is no select."""


class Picked(forms.Select):
    """A select whose options have a template of their own."""

    option_template_name = "django/forms/widgets/radio_option.html"


@pytest.mark.parametrize(
    ("widget", "value"),
    [
        (forms.Select(choices=PLAIN), "1"),
        (forms.Select(choices=PLAIN, attrs={"required": True, "disabled": False, "size": 3, "data-x": 'a"b'}), None),
        (forms.Select(choices=[("Dried & boxed", [("x", "first"), ("y", 12345)]), ("z", mark_safe("<b>bold</b>"))]), "y"),
        (forms.SelectMultiple(choices=PLAIN), ["1", ""]),
        (forms.NullBooleanSelect(), True),
        (forms.Select(choices=[]), None),
        (Radios(choices=PLAIN), "1"),
        (Picked(choices=PLAIN), "1"),
        (forms.TextInput(), "a<b"),
    ],
    ids=["plain", "attributes", "groups", "several", "yes or no", "empty", "radio buttons", "own options", "no choice"],
)
def test_a_widget_is_written_as_django_does(widget, value):
    """Letter for letter, escaped alike."""
    given = {"name": "what", "value": value, "attrs": {"id": "id_what"}}

    assert widget.render(renderer=LeanRenderer(), **given) == widget.render(renderer=DjangoTemplates(), **given)
