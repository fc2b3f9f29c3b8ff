"""The interfaces of the corner, in the order in which a fitter meets them. Importing them writes down their checks."""

from importlib import import_module

from bomcheck.model.rule import CHECKS, Check

ORDER = (
    "hub", "axial", "radial", "bodies", "joint_table", "joints", "joint_torques",
    "wheel_on_hub", "pads", "line", "handing", "park_brake", "wheel_shape",
)  # fmt: skip

for _name in ORDER:
    import_module(f"{__name__}.{_name}")


def all_checks() -> dict[str, Check]:
    """Every check of the product by name, in the order of the interfaces."""
    return CHECKS
