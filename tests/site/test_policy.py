"""The content security policy, and templates that keep to it."""

import re
from pathlib import Path

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

TEMPLATES = sorted((settings.ROOT / "templates").rglob("*.html"))
DJANGO = re.compile(r"\{[%{#].*?[%}#]\}", re.DOTALL)
BROKEN_RULES = {
    "inline style": re.compile(r"\sstyle\s*=", re.IGNORECASE),
    "inline handler": re.compile(r"\son[a-z]{3,}\s*=", re.IGNORECASE),
    "inline script": re.compile(r"<script(?![^>]*\ssrc\s*=)", re.IGNORECASE),
    "style element": re.compile(r"<style", re.IGNORECASE),
    "script address": re.compile(r"javascript:", re.IGNORECASE),
    "other host": re.compile(r"(?:src|href)\s*=\s*[\"']?(?:https?:)?//", re.IGNORECASE),
}


def broken_rules(text):
    """The rules a template's text breaks, Django's own tags left out."""
    plain = DJANGO.sub(" ", text)
    return [name for name, rule in BROKEN_RULES.items() if rule.search(plain)]


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: str(path.relative_to(settings.ROOT)))
def test_no_template_carries_style_or_script(template: Path):
    """Style lies in the stylesheet, script in files, both from this host."""
    assert broken_rules(template.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    "text", ['<p style="color:red">', '<a onclick="go()">', "<script>go()</script>", "<style>p{}</style>", '<img src="//x/y">']
)
def test_the_check_itself_finds_each_fault(text):
    """A check that cannot fail would be none."""
    assert broken_rules(text)


def test_the_policy_allows_nothing_inline(holding):
    """The header names this host only and no exception."""
    policy = Client().get(reverse("sign_in")).headers["Content-Security-Policy"]

    assert "script-src 'self'" in policy
    assert "style-src 'self'" in policy
    assert "unsafe" not in policy


def test_errors_carry_the_policy_too(owner, client_as):
    """A page that is not there is under the same policy."""
    page = client_as(owner).get("/no/such/page/")

    assert page.status_code == 404
    assert "script-src 'self'" in page.headers["Content-Security-Policy"]


def test_the_stylesheet_fetches_nothing():
    """No page needs the internet."""
    assert "http" not in (settings.ROOT / "grower" / "static" / "ledger.css").read_text(encoding="utf-8")
