"""The interfaces of the corner, in the order in which a fitter meets them. Importing them writes down their checks."""

from importlib import import_module
from pathlib import Path

ORDER = ("hub", "axial", "radial", "mount", "screws_grip", "screws", "wheel", "pads", "line", "handing", "park_brake")


def _place(name: str) -> tuple[int, str]:
    return (ORDER.index(name) if name in ORDER else len(ORDER), name)


for _name in sorted((file.stem for file in Path(__file__).parent.glob("[a-z]*.py")), key=_place):
    import_module(f"{__name__}.{_name}")
