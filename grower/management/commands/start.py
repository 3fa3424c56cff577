"""Prepare the data folder and serve the ledger."""

import signal
import sys
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser

from grower.starting import alone, database, files, people, serving
from grower.starting.trouble import Trouble
from ledger.facts.paper import pdf_maker

NO_PANGO = (
    "Pango is missing, so papers open as pages to print from the browser: "
    "install it (README.md says how) to have them as PDF."
)


class Command(BaseCommand):
    """`manage.py start`: everything needed, then the server."""

    help = "Prepare the data folder and serve the ledger on this machine."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--port", type=int, default=8000, help="the port to serve on; 0 takes any that is free")
        parser.add_argument("--no-serve", action="store_true", help="prepare only")
        parser.add_argument("--demo", action="store_true", help="the demonstration season, in a folder of its own")
        parser.add_argument("--backed-up", action="store_true", help="update the database without a backup of our own")

    def handle(self, *_args: Any, **given: Any) -> None:
        try:
            held = alone.take(settings.HOME)
            with held:
                self.prepare(given)
                if not given["no_serve"]:
                    self.serve(given)
        except Trouble as trouble:
            raise CommandError(str(trouble)) from trouble

    def prepare(self, given: dict[str, Any]) -> None:
        """Database, demonstration, static files."""
        database.make_ready(settings.HOME, self.say, backed_up=given["backed_up"])
        if given["demo"]:
            people.load_demonstration(self.say)
        files.collect(settings.STATIC_ROOT)
        if pdf_maker() is None:
            self.say(NO_PANGO)
        self.say(f"The data folder is {settings.HOME}")

    def serve(self, given: dict[str, Any]) -> None:
        """Serve until stopped."""
        from grower.wsgi import application  # only now are the static files there to be found

        server = serving.listen(given["port"], application)
        address = f"http://{serving.HOST}:{server.effective_port}"
        link = people.way_in(demo=given["demo"])
        if link:
            self.say(f"{link[0]} {address}{link[1]}")
        self.say(f"The ledger is open at {address}/ (Ctrl-C closes it)")
        signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))
        server.run()

    def say(self, sentence: str) -> None:
        self.stdout.write(sentence)
        self.stdout.flush()
