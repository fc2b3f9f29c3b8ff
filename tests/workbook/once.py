"""Slow things that are made once in a test run, however many workers share it."""

import os
import time
from collections.abc import Callable
from pathlib import Path

import pytest

PATIENCE = 400.0
"""Seconds until a worker gives up waiting for another."""


def made_once(base: pytest.TempPathFactory, name: str, make: Callable[[Path], object]) -> Path:
    """The folder of this name, filled by `make`: by the first worker that asks; the others wait until it is full."""
    top = base.getbasetemp()
    folder = (top.parent if os.environ.get("PYTEST_XDIST_WORKER") else top) / name
    done, failed = folder.with_suffix(".done"), folder.with_suffix(".failed")
    try:
        folder.mkdir()
    except FileExistsError:
        _wait(done, failed)
        return folder
    try:
        make(folder)
    except BaseException as error:
        failed.write_text(f"{type(error).__name__}: {error}")
        raise
    done.touch()
    return folder


def _wait(done: Path, failed: Path) -> None:
    end = time.monotonic() + PATIENCE
    while not done.exists():
        if failed.exists():
            pytest.fail(f"another worker could not make it: {failed.read_text()}")
        assert time.monotonic() < end, f"{done.stem} was not made in {PATIENCE:g} s"
        time.sleep(0.1)
