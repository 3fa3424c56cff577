"""Faults of the program: the page people see, and the number it has in the log."""

import logging
import secrets

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string


def fault(request: HttpRequest) -> HttpResponse:
    """Say that it went wrong, and under which number the log has it."""
    number = secrets.token_hex(3).upper()
    request.fault_number = number  # type: ignore[attr-defined]
    return HttpResponse(render_to_string("500.html", {"number": number}), status=500)


class Numbered(logging.Filter):
    """Give a log record the number its page showed."""

    def filter(self, record: logging.LogRecord) -> bool:
        record.fault = getattr(getattr(record, "request", None), "fault_number", "-")
        return True
