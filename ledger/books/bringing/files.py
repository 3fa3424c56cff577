"""Where the files come from: a folder, or what somebody sent through the page."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable, Mapping
from hashlib import sha256
from pathlib import Path, PurePosixPath

from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy as _

from ledger.facts.writing import refusal

MOST_BYTES = 50_000_000
Files = Mapping[str, bytes]


def read_folder(folder: Path) -> Files:
    """Every CSV of a folder, by its name."""
    return {path.name: path.read_bytes() for path in sorted(folder.glob("*.csv"))}


def read_sent(sent: Iterable[UploadedFile]) -> Files:
    """The CSVs sent, those of a zip among them; refuses what is neither."""
    files: dict[str, bytes] = {}
    for one in sent:
        name = one.name or ""
        for inner, content in _opened(name, one).items():
            if inner in files:
                raise refusal("sent", _("%(name)s was sent twice."), code="twice", name=inner)
            files[inner] = content
    return files


def _opened(name: str, one: UploadedFile) -> Files:
    if name.endswith(".zip"):
        return _unzipped(name, one.read())
    if not name.endswith(".csv"):
        raise refusal("sent", _("%(name)s is neither a CSV nor a zip of CSVs."), code="not_csv", name=name)
    return {name: one.read()}


def _unzipped(name: str, content: bytes) -> Files:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            inside = [one for one in packed.infolist() if one.filename.endswith(".csv")]
            if sum(one.file_size for one in inside) > MOST_BYTES:
                raise refusal("sent", _("%(name)s unpacks to more than this page takes."), code="too_big", name=name)
            return {PurePosixPath(one.filename).name: packed.read(one) for one in inside}
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError) as error:
        raise refusal("sent", _("%(name)s cannot be opened as a zip."), code="not_zip", name=name) from error


def mark_of(files: Files) -> str:
    """The same for the same files, so that they come in only once; fits a form key."""
    whole = sha256()
    for name, content in sorted(files.items()):
        whole.update(f"{name}:{len(content)}:".encode())
        whole.update(content)
    return whole.hexdigest()[:36]
