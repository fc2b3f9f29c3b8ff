"""Writes every faulty job workbook into a folder, with the line that each gets: python -m tests.faulty FOLDER"""

import sys
from pathlib import Path

from tests.faulty.jobs import FAULTY
from tests.faulty.lines import LINES


def write_all(folder: Path) -> Path:
    """Writes the workbooks and `lines.txt`; returns the path of the latter."""
    folder.mkdir(parents=True, exist_ok=True)
    listed = []
    for name, job in FAULTY.items():
        made = job.build()
        path = job.write(folder, made)
        listed.append(f"{path.name}: {LINES[name].format_map(job.cells(made))}\n")
    lines = folder / "lines.txt"
    lines.write_text("".join(listed), encoding="utf-8")
    return lines


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("Give one folder to write into.")
    print(f"Written: {write_all(Path(sys.argv[1]))}, and the workbooks beside it.")
