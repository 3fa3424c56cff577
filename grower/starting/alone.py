"""One server to a folder."""

from pathlib import Path
from typing import IO

from .trouble import Trouble


def take(folder: Path) -> IO[str]:
    """Hold the folder until the file returned is closed; refuse while another server does."""
    file = open(folder / "server.lock", "a", encoding="ascii")  # noqa: SIM115 - held open as long as the server runs
    try:
        _lock(file)
    except OSError as error:
        file.close()
        raise Trouble(
            f"A ledger is already running on {folder}: use that one, stop it first, "
            "or choose another folder with the environment variable LEDGER_HOME."
        ) from error
    return file


def _lock(file: IO[str]) -> None:
    try:
        import fcntl
    except ImportError:
        import msvcrt

        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
    else:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
