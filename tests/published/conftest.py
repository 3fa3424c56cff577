"""The published examples as they were printed."""

import json
from pathlib import Path

import pytest


@pytest.fixture(scope="session")
def published():
    """Every example by its id, with its source beside it."""
    text = (Path(__file__).parent / "examples.json").read_text(encoding="utf-8")
    return {example["id"]: example for example in json.loads(text)["examples"]}
