"""The site itself; it has no models."""

from django.apps import AppConfig


class GrowerConfig(AppConfig):
    name = "grower"
