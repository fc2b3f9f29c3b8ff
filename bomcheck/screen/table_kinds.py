"""The two kinds of tables, corners and kits, and what was read of one."""

from dataclasses import dataclass, field

from bomcheck.model.errors import Fault
from bomcheck.screen.columns import Rows

SECTIONS = {"corners": ("corner", "job", "system"), "kits": ("kit",)}
NAMES = {"corners": ("vehicle_label", "job_number", "customer_reference"), "kits": ("kit_number", "kit_label")}
OWN_NAME = {"corners": ("corner", "cornerid", "id", "name"), "kits": ("kit", "kitid", "id", "name")}
OTHER = {"corners": "kits", "kits": "corners"}


@dataclass
class Table:
    """What was read: the rows, and every trouble on the way."""

    rows: Rows
    faults: list[Fault] = field(default_factory=list)
