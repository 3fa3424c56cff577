"""Ways in and out: sign-in, the first set-up, the one-use link."""

from django.contrib.auth.views import LoginView, LogoutView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


class SignIn(LoginView):
    """Sign in with a name and a password."""

    template_name = "site/sign_in.html"


class SignOut(LogoutView):
    """Sign out, on POST."""

    next_page = "sign_in"


def set_up_page(request: HttpRequest, token: str) -> HttpResponse:
    return render(request, "site/set_up.html")


def come_in(request: HttpRequest, token: str) -> HttpResponse:
    return render(request, "site/come_in.html")
