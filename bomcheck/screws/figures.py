"""Torques as they are printed for a person, the same on every sheet."""

from collections.abc import Sequence

from bomcheck.screws.slip import POUND_FOOT, POUND_INCH

SMALL = 30.0  # N·m: below it inch torques are printed in lb·in; common practice, no source


def both_units(torque: float) -> str:
    """A torque [N·m] in both units; small ones in lb·in.

    >>> both_units(70.0), both_units(22.6), both_units(35 * POUND_FOOT)
    ('70 N·m (52 lb·ft)', '22.6 N·m (200 lb·in)', '47.5 N·m (35 lb·ft)')
    """
    factor, unit = _inch(torque)
    return f"{bare(torque)} N·m ({torque / factor:.0f} {unit})"


def stages_said(steps: Sequence[float], system: str) -> str:
    """The torques [N·m] of several stages in both units, the job's first; the inch unit is that of the last figure.

    >>> stages_said((27.5, 55.0), "metric"), stages_said((9.04, 15.82, 22.6), "inch")
    ('27.5, 55 N·m (20, 41 lb·ft)', '80, 140, 200 lb·in (9, 15.8, 22.6 N·m)')
    """
    factor, unit = _inch(steps[-1])
    metric = f"{', '.join(bare(step) for step in steps)} N·m"
    inch = f"{', '.join(f'{step / factor:.0f}' for step in steps)} {unit}"
    return f"{inch} ({metric})" if system == "inch" else f"{metric} ({inch})"


def _inch(torque: float) -> tuple[float, str]:
    """(N·m in one, name) of the inch unit in which a torque [N·m] is printed."""
    return (POUND_INCH, "lb·in") if torque < SMALL else (POUND_FOOT, "lb·ft")


def bare(torque: float) -> str:
    """A torque [N·m] as a bare figure, to the tenth where it has one."""
    return f"{torque:.1f}".removesuffix(".0")
