"""Saying in a test that a verb refuses."""

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from django.core.exceptions import ValidationError


def codes_of(error: ValidationError) -> list[str]:
    """Every code the refusal carries, on a field or on the whole form."""
    if hasattr(error, "error_dict"):
        return [one.code for errors in error.error_dict.values() for one in errors]
    return [one.code for one in error.error_list]


@contextmanager
def refused(code: str) -> Iterator[pytest.ExceptionInfo[ValidationError]]:
    """The block is refused with a sentence that carries `code`."""
    with pytest.raises(ValidationError) as caught:
        yield caught
    assert code in codes_of(caught.value), f"refused with {codes_of(caught.value)}: {caught.value}"
