"""LibreOffice made to work out every formula of many workbooks in few starts, whatever values are stored in them."""

import subprocess
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from shutil import copy

from tests.helpers.office import need_office, office

ALWAYS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop>
</item>
</oor:items>
"""
"""LibreOffice's own setting "Recalculation on File Load, Excel 2007 and newer: Always recalculate"."""


AT_ONCE = 100
"""Workbooks in one start: beyond some 240 it gives up and says nothing."""


def recalculate(sources: Sequence[Path], folder: Path) -> None:
    """Open each workbook as it lies there, work it out anew and save it as .xlsx under the same name in `folder`; by two at a time
    of LibreOffice, since other tests may wait for it. Those that are the same byte for byte are worked out once."""
    need_office()
    firsts: dict[bytes, Path] = {}
    same = [(one, firsts.setdefault(one.read_bytes(), one)) for one in sources]
    apart = list(firsts.values())
    with ThreadPoolExecutor(2) as pool:
        list(pool.map(_worked_out, (apart[0::2], apart[1::2]), (folder, folder), ("profile", "profile 2")))
    for one, first in same:
        if one is not first:
            copy(folder / first.name, folder / one.name)
    assert [one.name for one in sources if not (folder / one.name).exists()] == []


def _worked_out(sources: Sequence[Path], folder: Path, profile: str) -> None:
    user = folder / profile / "user"
    user.mkdir(parents=True)
    (user / "registrymodifications.xcu").write_text(ALWAYS)
    installed = f"-env:UserInstallation={(folder / profile).as_uri()}"
    for first in range(0, len(sources), AT_ONCE):
        some = sources[first : first + AT_ONCE]
        command = ["soffice", installed, "--headless", "--convert-to", "xlsx", "--outdir", str(folder), *map(str, some)]
        subprocess.run(command, check=True, capture_output=True)


def print_all(sources: Sequence[Path], folder: Path) -> None:
    """Each workbook as a PDF under the same name in `folder`, in one start."""
    need_office()
    command = [*office(), "--convert-to", "pdf", "--outdir", str(folder), *map(str, sources)]
    subprocess.run(command, check=True, capture_output=True)
