"""A 200 x 200 screening as a spreadsheet would do it: one row a pair, one cell a check, and what the worst of them says.

The range checks that need no shims are written as formulas with their ±, the shimmed ones for the best of three stacks; no
remedies, no matching of threads by look-alikes, no brake line.
"""

import subprocess
import tempfile
import time
from pathlib import Path

import pandas as pd
from xlsxwriter import Workbook
from xlsxwriter.utility import xl_col_to_name

from bomcheck.tables.fields import fields

PLAIN = (  # (value as a sum of signed fields, least, greatest)
    ("+hat_bore-hub_pilot_diameter", 0.02, 0.2),
    ("+hub_pilot_length-hub_pilot_fillet", 3.0, None),
    ("+hat_bore_chamfer-hub_pilot_fillet", 0.0, None),
    ("+hat_inner_diameter-hub_flange_diameter", 2.0, None),
    ("+hub_face_runout", None, 0.05),
    ("+hat_inner_diameter-sensor_ring_diameter", 3.0, None),
    ("+caliper_slot_width-rotor_thickness", 3.0, None),
    ("+caliper_piston_gap-rotor_thickness-pad_thickness-pad_thickness", 0.3, None),
    ("+shield_position-rotor_plane_position-rotor_thickness", -14.0, None),
    ("+ear_sideways_offset-bracket_sideways_offset", -1.0, 1.0),
    ("+bracket_ear_spacing-ear_spacing", -0.5, 0.5),
    ("+caliper_mount_spacing-bracket_caliper_spacing", -0.5, 0.5),
    ("+hub_stud_length-hat_flange_thickness-wheel_spacer_thickness-wheel_seat_depth", 12.0, None),
    ("+wheel_bore-hub_pilot_diameter", 0.0, 0.3),
    ("+hub_pilot_length-hat_flange_thickness-wheel_spacer_thickness-wheel_bore_chamfer", 3.0, None),
    ("+hat_face_diameter-wheel_pad_diameter", -2.0, None),
)
SHIMMED = (  # the same, with the way that a shim moves it
    ("+ear_face_position+bracket_offset-rotor_plane_position", -0.5, 0.5, -1),
    ("+bracket_screw_length-bracket_washer_thickness-bracket_ear_thickness", 18.0, None, -1),
    ("+ear_height+bracket_rise+caliper_pad_top-rotor_diameter-rotor_diameter", -331.5, -330.0, 1),
    ("+ear_height+bracket_rise+caliper_bridge-rotor_diameter", 2.0, None, 1),
    ("+ear_height+bracket_rise+caliper_pad_top-pad_height-rotor_ring_inner_diameter", 0.0, None, 1),
)
STACKS = (0.0, 1.0, 2.0)


class Sheet:
    """A table on a sheet of its own: each field's value and its ±."""

    def __init__(self, book: Workbook, name: str, path: Path) -> None:
        self.name, self.table = name, pd.read_csv(path, skiprows=[1], dtype=str, keep_default_na=False)
        self.places = {key: 2 * place for place, key in enumerate(self.table.columns)}
        sheet = book.add_worksheet(name)
        for row, cells in enumerate(self.table.to_dict("records")):
            for key, place in self.places.items():
                try:
                    sheet.write_number(row, place, float(cells[key]))
                except ValueError:
                    sheet.write_string(row, place, cells[key])
                sheet.write_number(row, place + 1, fields()[key].plus_minus if key in fields() else 0.0)

    def look(self, key: str, at: str, more: int = 0) -> str:
        """The formula that reads a field of the row in a cell."""
        column = xl_col_to_name(self.places[key] + more)
        return f"INDEX({self.name}!${column}$1:${column}${len(self.table)},{at})"


def write_formulas(path: Path, corners: Path, kits: Path) -> None:
    """The workbook, without results."""
    book = Workbook(str(path), {"constant_memory": True})
    sides = (Sheet(book, "Corners", corners), "$A"), (Sheet(book, "Kits", kits), "$B")
    sheet = book.add_worksheet("Pairs")
    texts = list(_checks(sides, "{row}"))
    row = 0
    for corner in range(len(sides[0][0].table)):
        for kit in range(len(sides[1][0].table)):
            sheet.write_number(row, 0, corner + 1)
            sheet.write_number(row, 1, kit + 1)
            last = xl_col_to_name(2 + len(PLAIN) + len(SHIMMED) * len(STACKS))
            sheet.write_formula(row, 2, f"=MIN(D{row + 1}:{last}{row + 1})", None, "")
            for column, text in enumerate(texts, 3):
                sheet.write_formula(row, column, text.replace("{row}", str(row + 1)), None, "")
            row += 1
    book.close()


def _checks(sides, row):
    for value, low, high in PLAIN:
        yield _margin(sides, row, value, low, high, 0.0)
    for value, low, high, push in SHIMMED:
        for stack in STACKS:
            yield _margin(sides, row, value, low, high, push * stack)


def _margin(sides, row, value, low, high, shift):
    signed = value.replace("+", " +").replace("-", " -").split()
    found = [(one[0], *next((s, at) for s, at in sides if one[1:] in s.places), one[1:]) for one in signed]
    middle = "".join(f"{sign}{side.look(key, f'{at}{row}')}" for sign, side, at, key in found)
    spread = "+".join(side.look(key, f"{at}{row}", 1) for _, side, at, key in found)
    rooms = [f"({middle}+{shift})-({spread})-({low})"] if low is not None else []
    rooms += [f"({high})-({middle}+{shift})-({spread})"] if high is not None else []
    return f"=IFERROR(MIN({','.join(rooms)}),0)"


def recalculated(path: Path) -> float:
    """Seconds that LibreOffice takes to open, calculate and save the pairs as CSV."""
    with tempfile.TemporaryDirectory() as folder:
        profile = f"-env:UserInstallation=file://{folder}/profile"
        subprocess.run(["soffice", "--headless", profile, "--terminate_after_init"], capture_output=True, check=False)
        start = time.perf_counter()
        filters = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,3"
        subprocess.run(
            ["soffice", "--headless", profile, "--convert-to", filters, "--outdir", folder, str(path)],
            capture_output=True,
            check=True,
        )
        taken = time.perf_counter() - start
        made = next(Path(folder).glob("*.csv"))
        first = made.read_text("utf-8").splitlines()[0].split(",")
        if not first[2] or float(first[2]) == 0.0:
            raise RuntimeError("LibreOffice did not calculate the formulas")
    return taken
