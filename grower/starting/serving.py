"""The server itself: waitress on this machine only."""

import errno
from collections.abc import Callable
from typing import Any

from waitress import create_server

from .trouble import Trouble

HOST = "127.0.0.1"


def listen(port: int, application: Callable[..., Any]) -> Any:
    """Take the port; 0 takes any that is free."""
    try:
        return create_server(application, host=HOST, port=port, threads=8, ident="ledger")
    except OSError as error:
        if error.errno in {errno.EADDRINUSE, errno.EACCES}:
            why = "in use by another program" if error.errno == errno.EADDRINUSE else "not for ordinary programs"
            raise Trouble(f"Port {port} is {why}: choose another with --port, or --port 0 for any that is free.") from error
        raise
