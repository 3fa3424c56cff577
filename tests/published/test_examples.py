"""Every published example is sourced and really used."""

from pathlib import Path


def test_every_example_names_its_source(published):
    """A figure without a source or a word on how it was seen proves nothing."""
    for example in published.values():
        assert example["source"]
        assert example["status"]


def test_every_example_is_checked_by_a_test(published):
    """No example lies here unread."""
    tests = "".join(path.read_text(encoding="utf-8") for path in Path(__file__).parent.glob("test_*.py"))
    assert [key for key in published if f'"{key}"' not in tests] == []
