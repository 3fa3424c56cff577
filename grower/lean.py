"""Selects written out in one go: Django renders a template for every option, which took a third of a list page."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.forms.renderers import DjangoTemplates
from django.utils.formats import localize
from django.utils.html import conditional_escape
from django.utils.safestring import SafeString

SELECT, OPTION = "django/forms/widgets/select.html", "django/forms/widgets/select_option.html"


class LeanRenderer(DjangoTemplates):
    """Django's own rendering of forms, but for selects, which come out the same."""

    def render(self, template_name: str, context: dict[str, Any], request: Any = None) -> str:
        widget = context.get("widget")
        if template_name == SELECT and all(one["template_name"] == OPTION for one in _options(widget)):
            return _select(widget)
        return super().render(template_name, context, request)


def _options(widget: Any) -> list[Any]:
    return [one for _name, options, _index in widget["optgroups"] for one in options]


def _select(widget: Any) -> SafeString:
    groups = "".join(_group(name, options) for name, options, _index in widget["optgroups"])
    return SafeString(f'<select name="{conditional_escape(widget["name"])}"{_attributes(widget["attrs"])}>{groups}\n</select>')


def _group(name: Any, options: Any) -> str:
    within = "".join(f"\n  {_option(one)}\n" for one in options)
    return f'\n  <optgroup label="{_shown(name)}">{within}\n  </optgroup>' if name else within


def _option(one: Any) -> str:
    return f'<option value="{conditional_escape(str(one["value"]))}"{_attributes(one["attrs"])}>{_shown(one["label"])}</option>'


def _attributes(attrs: Mapping[str, Any]) -> str:
    said = ((conditional_escape(name), value) for name, value in attrs.items() if value is not False)
    return "".join(f" {name}" if value is True else f' {name}="{conditional_escape(str(value))}"' for name, value in said)


def _shown(value: Any) -> str:
    return conditional_escape(localize(value))
