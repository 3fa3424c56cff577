"""Static files, collected only when they changed."""

import hashlib
from pathlib import Path

from django.contrib.staticfiles.finders import get_finders
from django.core.management import call_command


def collect(root: Path) -> bool:
    """Collect into `root` if any source changed; return whether it did."""
    stamp, print_now = root / "collected-from", fingerprint()
    if stamp.is_file() and stamp.read_text(encoding="ascii") == print_now:
        return False
    root.mkdir(parents=True, exist_ok=True)
    call_command("collectstatic", verbosity=0, interactive=False, clear=True)
    stamp.write_text(print_now, encoding="ascii")
    return True


def fingerprint() -> str:
    """A hash over every source file's name and content."""
    whole = hashlib.sha256()
    for finder in get_finders():
        for path, storage in sorted(finder.list([]), key=lambda found: found[0]):
            whole.update(path.encode())
            with storage.open(path) as file:
                whole.update(file.read())
    return whole.hexdigest()
