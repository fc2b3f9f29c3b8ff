"""Torques as they are printed for a person, the same on every sheet."""

from bomcheck.screws.slip import POUND_FOOT, POUND_INCH

SMALL = 30.0  # N·m: below it inch torques are printed in lb·in; common practice, no source


def both_units(torque: float) -> str:
    """A torque [N·m] in both units; small ones in lb·in.

    >>> both_units(70.0), both_units(22.6), both_units(35 * POUND_FOOT)
    ('70 N·m (52 lb·ft)', '22.6 N·m (200 lb·in)', '47.5 N·m (35 lb·ft)')
    """
    inch = f"{torque / POUND_INCH:.0f} lb·in" if torque < SMALL else f"{torque / POUND_FOOT:.0f} lb·ft"
    return f"{bare(torque)} N·m ({inch})"


def bare(torque: float) -> str:
    """A torque [N·m] as a bare figure, to the tenth where it has one."""
    return f"{torque:.1f}".removesuffix(".0")
