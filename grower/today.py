"""What wants doing today."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def show(request: HttpRequest) -> HttpResponse:
    """The first page after sign-in."""
    return render(request, "site/today.html")
