"""Everything that leaves as paper: PDF where WeasyPrint can load, else a page ready to print."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

import segno
from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string

STYLESHEET = Path("grower") / "static" / "paper.css"


def paper(request: HttpRequest, template: str, context: dict[str, Any], filename: str, *, css: str = "") -> HttpResponse:
    """The template as a PDF named `filename`, or the same template as a print-ready page; `css`: more rules of the PDF."""
    weasyprint = pdf_maker()
    html = render_to_string(template, {**context, "as_page": weasyprint is None}, request=request)
    if weasyprint is None:
        return HttpResponse(html)
    response = HttpResponse(_pdf(weasyprint, html, css), content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{filename}"'
    return response


@lru_cache(maxsize=1)
def pdf_maker() -> Any:
    """WeasyPrint, loaded when the first paper is asked for; None where Pango is missing."""
    try:
        import weasyprint
    except (ImportError, OSError):
        return None
    return weasyprint


def _pdf(weasyprint: Any, html: str, more: str) -> bytes:
    """Only what the paper itself carries is read: nothing is fetched."""
    from weasyprint.urls import URLFetcher

    fonts, css = _fonts_and_css()
    document = weasyprint.HTML(string=html, url_fetcher=URLFetcher(allowed_protocols=["data"]))
    sheets = [css, weasyprint.CSS(string=more, font_config=fonts)] if more else [css]
    return document.write_pdf(stylesheets=sheets, font_config=fonts)


@lru_cache(maxsize=1)
def _fonts_and_css() -> tuple[Any, Any]:
    """The fonts found and the stylesheet read, once for all papers."""
    weasyprint = pdf_maker()
    from weasyprint.text.fonts import FontConfiguration

    fonts = FontConfiguration()
    return fonts, weasyprint.CSS(filename=str(settings.ROOT / STYLESHEET), font_config=fonts)


def address_of(request: HttpRequest, path: str) -> str:
    """A path of this ledger as an address to print: LEDGER_ADDRESS, else the host asked for."""
    return f"{settings.ADDRESS}{path}" if settings.ADDRESS else request.build_absolute_uri(path)


@lru_cache(maxsize=1_000)
def qr_picture(address: str) -> str:
    """A QR code of an address as an SVG picture to be shown in place; those drawn lately are kept: one takes milliseconds."""
    return segno.make(address, error="m", micro=False).svg_data_uri(border=4, dark="#000000", light="#ffffff")
