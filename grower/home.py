"""Where the ledger keeps its data, and the key only its owner can read."""

import os
import secrets
from pathlib import Path


def data_folder(root: Path) -> Path:
    """The folder named by LEDGER_HOME, else `ledger-data` in the checkout."""
    return Path(os.environ.get("LEDGER_HOME") or root / "ledger-data").expanduser().resolve()


def secret_key(folder: Path) -> str:
    """The key kept in the folder; one for this process only where none is kept yet."""
    given = os.environ.get("LEDGER_SECRET_KEY")
    if given:
        return given
    try:
        return (folder / "secret-key").read_text(encoding="ascii").strip()
    except FileNotFoundError:
        return secrets.token_urlsafe(64)
