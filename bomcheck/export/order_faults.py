"""What stops an order before a file is touched: cells of the job, and what the shop typed in its Parts list."""

from collections.abc import Collection, Iterator

from bomcheck.errors import BomcheckError, Fault, Place, Unreadable
from bomcheck.job import Job
from bomcheck.parts.typed import amount
from bomcheck.workbook.cells import Cell
from bomcheck.workbook.mark import marked_sheets
from bomcheck.workbook.money import read_money
from bomcheck.workbook.package import Package
from bomcheck.workbook.sheets.kept import input_cells

NUMBERS = {"on_hand": "how many you have", "received": "how many came"}
ORDERING, RECEIVING = ("on_hand", "own_price"), ("on_hand", "own_price", "received")


class Stopped(BomcheckError):
    """Cells that must be corrected first; one line for each."""

    def __init__(self, faults: list[Fault]) -> None:
        self.faults = faults
        super().__init__("\n".join(str(fault) for fault in faults))


def require_sound(job: Job, package: Package, columns: Collection[str]) -> None:
    """Raises Stopped where a cell cannot be trusted. columns: the yellow ones that count, ORDERING or RECEIVING."""
    faults = [fault for fault in job.faults if fault.stops]
    faults += [one for one in typed_faults(package, str(job.get("currency") or "")) if one.key in columns]
    if faults:
        raise Stopped(faults)


def typed_faults(package: Package, currency: str) -> list[Fault]:
    """What is wrong in the yellow columns of the Parts list: no number, less than nothing, another currency."""
    name = marked_sheets(package).get("parts")
    if name is None:
        return []
    typed = input_cells(package.cells(name))
    return [fault for cells in typed.values() for fault in _faults(package.file, name, cells, currency)]


def _faults(file: str, sheet: str, cells: dict[str, Cell], currency: str) -> Iterator[Fault]:
    for key, cell in cells.items():
        bad = (
            _bad_number(cell, NUMBERS[key])
            if key in NUMBERS
            else _bad_price(cell, currency)
            if key == "own_price"
            else None
        )
        if bad is not None:
            yield Fault(bad.kind, Place(file, sheet, cell.address), cell.text, bad.wrong, bad.instead, key)


def _bad_number(cell: Cell, what: str) -> Unreadable | None:
    value = cell.value if cell.kind == "number" else amount({"typed": cell.text}, "typed")
    if isinstance(value, float | int) and value >= 0:
        return None
    return Unreadable(
        "unreadable text", cell.text, "this is no quantity", f"Type {what} as a number, or clear the cell"
    )


def _bad_price(cell: Cell, currency: str) -> Unreadable | None:
    try:
        price = read_money(cell, currency)
    except Unreadable as bad:
        return bad
    if price is not None and price < 0:
        return Unreadable(
            "out of range", cell.text, "a price is never negative", "Type the price of a pack, without tax"
        )
    if cell.kind != "number" and price is not None and amount({"typed": cell.text}, "typed") is None:
        return Unreadable(
            "unreadable text", cell.text, "the price has its currency in the cell", f"Type {price:g} alone"
        )
    return None
