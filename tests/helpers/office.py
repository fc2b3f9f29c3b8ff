"""LibreOffice for tests: needed in CI, and started with one profile for each process that runs tests."""

import os
import shutil
import tempfile
from functools import cache
from pathlib import Path

import pytest


def need_office() -> None:
    """Skips the test where LibreOffice is not installed; in CI it must be."""
    if shutil.which("soffice") is None:
        if os.environ.get("CI"):
            pytest.fail("LibreOffice is not installed, and in CI it must be")
        pytest.skip("LibreOffice is not installed")


@cache
def _home(process: int) -> "tempfile.TemporaryDirectory[str]":
    return tempfile.TemporaryDirectory(prefix=f"office_{process}_", ignore_cleanup_errors=True)


def office() -> list[str]:
    """How it is started without a window; making its profile anew costs half a second each time."""
    return ["soffice", f"-env:UserInstallation={Path(_home(os.getpid()).name).as_uri()}", "--headless"]
