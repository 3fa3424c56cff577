"""Every package the environment is made of has its exact version in pyproject.toml."""

import re
import tomllib
from importlib.metadata import PackageNotFoundError, distribution, version
from itertools import chain

from django.conf import settings
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

PYPROJECT = tomllib.loads((settings.ROOT / "pyproject.toml").read_text(encoding="utf-8"))
PROJECT = PYPROJECT["project"]
DIRECT = [
    *PROJECT["dependencies"],
    *chain.from_iterable(PROJECT["optional-dependencies"].values()),
    *chain.from_iterable(PYPROJECT["dependency-groups"].values()),
]
INDIRECT = PYPROJECT["tool"]["uv"]["constraint-dependencies"]


def pins():
    """The exact version of each package named, None where it is not exact."""
    found = {}
    for text in (*DIRECT, *INDIRECT):
        wanted = Requirement(text)
        exact = re.fullmatch(r"==([^*]+)", str(wanted.specifier))
        found[canonicalize_name(wanted.name)] = exact[1] if exact else None
    return found


def resolved():
    """Every installed package the direct ones lead to, with its version."""
    found, waiting = {}, [(Requirement(text).name, frozenset(Requirement(text).extras)) for text in DIRECT]
    seen = set()
    while waiting:
        name, extras = waiting.pop()
        if (name, extras) in seen:
            continue
        seen.add((name, extras))
        try:
            found[canonicalize_name(name)] = version(name)
        except PackageNotFoundError:
            continue
        for text in distribution(name).requires or []:
            wanted = Requirement(text)
            if any(wanted.marker is None or wanted.marker.evaluate({"extra": extra}) for extra in (extras or {""})):
                waiting.append((wanted.name, frozenset(wanted.extras)))
    return found


def test_every_resolved_package_is_pinned_exactly():
    """The same checkout gives the same packages next year."""
    installed = resolved()

    assert len(installed) > len(PROJECT["dependencies"])
    assert {name: found for name, found in installed.items() if pins().get(name) != found} == {}


def test_every_pin_is_exact():
    """No range among the pins, no address to fetch from."""
    assert [name for name, pinned in pins().items() if pinned is None] == []
    assert not any("@" in text for text in (*DIRECT, *INDIRECT))
