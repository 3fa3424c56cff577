"""The page for a fault of the program, with the number it has in the log."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def fault(request: HttpRequest) -> HttpResponse:
    """Say that it went wrong, and under which number it is logged."""
    return render(request, "500.html", {"number": getattr(request, "fault_number", "")}, status=500)
