"""Where the files that come with the program lie: inside the installed package, or at the top of a checkout."""

from pathlib import Path

PACKAGE = Path(__file__).resolve().parent.parent
NAMES = ("schemas", "templates_xlsx", "demo_workbooks")


def folder(name: str) -> Path:
    """Folder of the schemas, the blank templates or the demo workbooks.

    name: one of NAMES. Raises FileNotFoundError when the installation is incomplete.
    """
    for place in (PACKAGE / "shipped_files" / name, PACKAGE.parent / name):
        if name in NAMES and place.is_dir():
            return place
    raise FileNotFoundError(f'the folder "{name}" is missing from this installation of bomcheck; install it again')
