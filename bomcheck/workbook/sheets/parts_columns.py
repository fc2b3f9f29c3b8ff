"""The columns of the Parts list: heading, width, and where each stands."""

from enum import IntEnum

from bomcheck.workbook.sheets.kept import KEY_HEADING, ON_HAND, OWN_NOTE, OWN_PRICE, OWN_SUPPLIER, RECEIVED


class Col(IntEnum):
    """Columns from the left: what is printed comes first."""

    PART = 0
    STATUS = 1
    ORDER = 2
    SIDE = 3
    NEEDED = 4
    KIT = 5
    CAR = 6
    SHELF = 7
    ON_HAND = 8
    PACK = 9
    PACKS = 10
    PRICE = 11
    OWN_PRICE = 12
    TOTAL = 13
    NUMBER = 14
    SUPPLIER = 15
    DAYS = 16
    NOTE = 17
    OWN_SUPPLIER = 18
    RECEIVED = 19
    OWN_NOTE = 20
    WHERE = 21
    KEY = 22


LAST_PRINTED = Col.NOTE
HEADINGS = {
    Col.PART: ("Part, and why", 36),
    Col.STATUS: ("Status", 14),
    Col.ORDER: ("To order", 9),
    Col.SIDE: ("Side", 6),
    Col.NEEDED: ("Needed", 8),
    Col.KIT: ("In kit", 7),
    Col.CAR: ("On car", 7),
    Col.SHELF: ("On shelf", 8),
    Col.ON_HAND: (ON_HAND, 9),
    Col.PACK: ("Pack of", 8),
    Col.PACKS: ("Packs", 6),
    Col.PRICE: ("Price of a pack", 9),
    Col.OWN_PRICE: (OWN_PRICE, 9),
    Col.TOTAL: ("Total", 10),
    Col.NUMBER: ("Part number", 15),
    Col.SUPPLIER: ("Supplier", 12),
    Col.DAYS: ("Lead time, days", 7),
    Col.NOTE: ("Remarks", 28),
    Col.OWN_SUPPLIER: (OWN_SUPPLIER, 13),
    Col.RECEIVED: (RECEIVED, 9),
    Col.OWN_NOTE: (OWN_NOTE, 20),
    Col.WHERE: ("Where, and how the number comes about", 38),
    Col.KEY: (KEY_HEADING, 3),
}
WIDTHS = tuple(width for _, width in HEADINGS.values())
FIGURES = frozenset(
    (
        Col.ORDER,
        Col.NEEDED,
        Col.KIT,
        Col.CAR,
        Col.SHELF,
        Col.ON_HAND,
        Col.PACK,
        Col.PACKS,
        Col.PRICE,
        Col.OWN_PRICE,
        Col.TOTAL,
        Col.DAYS,
    )
)
