"""Bringing in a grower's own records from plain CSVs: everything checked, all or nothing.

`kinds` says which files there are and what their columns are.
"""

from .acting import Brought, Progress, bring_in
from .files import Files, read_folder, read_sent
from .kinds import KINDS
from .reading import last_day
from .rows import Fault, NotBroughtIn, Waiting

__all__ = [
    "KINDS", "Brought", "Fault", "Files", "NotBroughtIn", "Progress", "Waiting", "bring_in", "last_day", "read_folder",
    "read_sent",
]
