"""What stops an order before a file is touched: cells of the job, and what the shop typed in its Parts list."""

from collections.abc import Collection

from bomcheck.errors import BomcheckError, Fault
from bomcheck.job import Job
from bomcheck.workbook.own_faults import typed_faults
from bomcheck.workbook.package import Package

ORDERING = RECEIVING = ("on_hand", "own_price", "received")


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
