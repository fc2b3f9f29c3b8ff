"""Torques as they are printed on the Fit-up sheet."""

POUND_FOOT, POUND_INCH = 1.3558179483, 0.1129848290
SMALL = 30.0  # N·m: below it inch torques are printed in lb·in; common practice, no source


def both_units(torque: float) -> str:
    """A torque [N·m] in both units; small ones in lb·in.

    >>> both_units(70.0), both_units(22.6)
    ('70 N·m (52 lb·ft)', '22.6 N·m (200 lb·in)')
    """
    if torque < SMALL:
        return f"{torque:.1f} N·m ({torque / POUND_INCH:.0f} lb·in)"
    return f"{torque:.0f} N·m ({torque / POUND_FOOT:.0f} lb·ft)"


def bare(torque: float) -> str:
    """A torque [N·m] as a bare figure."""
    return f"{torque:.1f}" if torque < SMALL else f"{torque:.0f}"
