"""The JSON Schemas held against a job, or against one line of a table."""

from collections.abc import Mapping
from typing import Any

from jsonschema import Draft202012Validator

from bomcheck.tables.fields import schema


def validate(given: Mapping[str, Any], shape: str = "job") -> list[tuple[tuple[str | int, ...], str, str]]:
    """What a job, or one line of a table ("part"), breaks of its schema: (path, name of the rule, message), in path order."""
    found = Draft202012Validator(schema(shape)).iter_errors(given)
    broken = [(tuple(error.absolute_path), str(error.validator), error.message) for error in found]
    return sorted(broken, key=lambda one: ([str(step) for step in one[0]], one[1]))
