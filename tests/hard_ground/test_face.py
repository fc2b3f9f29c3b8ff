"""What `import bomcheck` offers to other programs, and that the README's lines run as they stand."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

import bomcheck
from tests.hard_ground.running import ROOT, demo, environment


def test_nothing_else_is_public() -> None:
    """Three functions, two types, two errors; importing it loads nothing heavy."""
    assert set(bomcheck.__all__) == {
        "BomcheckError", "Job", "Report", "WorkbookError", "assess_job", "read_job", "report_as_json"
    }  # fmt: skip
    assert all(getattr(bomcheck, name) for name in bomcheck.__all__)
    with pytest.raises(AttributeError):
        _ = bomcheck.nothing
    code = "import bomcheck, sys; print({'jsonschema', 'click', 'bomcheck.assess', 'bomcheck.io'} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, env=environment(), check=True)
    assert done.stdout.strip() == b"set()"


def test_the_six_lines_of_the_readme(tmp_path: Path) -> None:
    """Six lines and no more, run on a demo."""
    block = re.search(
        r"## For other programs\n\n```python\n(.*?)```", (ROOT / "README.md").read_text("utf-8"), re.DOTALL
    )
    assert block is not None
    lines = [line for line in block[1].splitlines() if line]
    assert len(lines) <= 6
    demo(tmp_path / "job.xlsx")
    code = "\n".join([*lines, "assert data['verdict'] == str(report.verdict) and data['parts']"])
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, cwd=tmp_path, env=environment(), check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == b"fits with parts"


@pytest.mark.parametrize("name", sorted(path.stem for path in (ROOT / "demo_workbooks").glob("*.xlsx")))
def test_every_demo_is_valid_json(tmp_path: Path, name: str) -> None:
    """Every demo's report keeps its schema."""
    report = bomcheck.assess_job(bomcheck.read_job(demo(tmp_path / "job.xlsx", name)))
    assert bomcheck.report_as_json(report)["verdict"] == str(report.verdict)


def test_errors(tmp_path: Path) -> None:
    """A file that is not there is a WorkbookError of one line; a report that breaks the schema a BomcheckError."""
    from dataclasses import replace

    with pytest.raises(bomcheck.WorkbookError, match="there is no such file"):
        bomcheck.read_job(tmp_path / "none.xlsx")
    report = bomcheck.assess_job(bomcheck.read_job(demo(tmp_path / "job.xlsx")))
    with pytest.raises(bomcheck.BomcheckError, match="breaks its schema"):
        bomcheck.report_as_json(replace(report, verdict="perhaps"))  # type: ignore[arg-type]
