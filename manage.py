#!/usr/bin/env python3
"""Run a command of the ledger: `manage.py start` begins."""

import os
import sys
from pathlib import Path


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "grower.settings")
    if sys.argv[1:2] == ["start"]:
        prepare_ground(sys.argv[2:])
    from django.core.exceptions import ImproperlyConfigured
    from django.core.management import execute_from_command_line

    try:
        execute_from_command_line(sys.argv)
    except ImproperlyConfigured as error:
        sys.exit(str(error))


def prepare_ground(arguments: list[str]) -> None:
    """Make the data folder before the settings look into it."""
    from grower.starting import ground
    from grower.starting.trouble import Trouble

    try:
        ground.lay(Path(__file__).resolve().parent, arguments)
    except Trouble as trouble:
        sys.exit(str(trouble))


if __name__ == "__main__":
    main()
