"""The interfaces of the corner, in the order in which a fitter meets them. Importing them writes down their checks."""

from importlib import import_module
from pathlib import Path

ORDER = ("hub", "axial", "radial", "mount", "screws_grip", "screws", "wheel", "pads", "line", "handing", "park_brake")


def _place(name: str) -> tuple[int, str]:
    return (ORDER.index(name) if name in ORDER else len(ORDER), name)


_here = Path(__file__).parent
_names = {file.stem for file in _here.glob("[a-z]*.py")} | {
    file.parent.name for file in _here.glob("[a-z]*/__init__.py")
}
for _name in sorted(_names, key=_place):
    import_module(f"{__name__}.{_name}")
