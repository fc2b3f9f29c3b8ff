"""The interfaces of the corner, in the order in which a fitter meets them. Importing them writes down their checks."""

from importlib import import_module
from pkgutil import iter_modules

ORDER = ("hub", "axial", "radial", "mount", "wheel", "pads", "line", "handing", "park_brake")

for _name in sorted(
    (module.name for module in iter_modules(__path__)),
    key=lambda name: (ORDER.index(name) if name in ORDER else 99, name),
):
    import_module(f"{__name__}.{_name}")
