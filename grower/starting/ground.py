"""The data folder and its secret key, made before any setting is read.

No Django here: the settings take the folder and the key as they find them.
"""

import os
import secrets
from pathlib import Path

from grower.home import data_folder

from .trouble import Trouble


def lay(root: Path, arguments: list[str]) -> Path:
    """Choose the data folder, make it and its key; `--demo` has a folder of its own."""
    if "--demo" in arguments and not os.environ.get("LEDGER_HOME"):
        os.environ["LEDGER_HOME"] = str(root / "ledger-demo")
    folder = data_folder(root)
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        _try_writing(folder)
        _keep_key(folder / "secret-key")
    except OSError as error:
        raise Trouble(
            f"The data folder {folder} cannot be written ({error.strerror}): "
            "choose another with the environment variable LEDGER_HOME, or mend its permissions."
        ) from error
    return folder


def _try_writing(folder: Path) -> None:
    probe = folder / f"probe-{secrets.token_hex(4)}"
    probe.touch()
    probe.unlink()


def _keep_key(path: Path) -> None:
    """Write the key once, readable by its owner only from its first byte."""
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(secrets.token_urlsafe(64))
