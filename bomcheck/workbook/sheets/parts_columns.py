"""The columns of the Parts list: heading, width, and where each stands."""

from enum import IntEnum

from bomcheck.workbook.sheets.kept import KEY_HEADING, ON_HAND, OWN_NOTE, OWN_PRICE, OWN_SUPPLIER, RECEIVED


class Col(IntEnum):
    """Columns from the left; the first ones carry the message."""

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
    OWN_SUPPLIER = 16
    DAYS = 17
    RECEIVED = 18
    WHY = 19
    ONCE = 20
    NOTE = 21
    OWN_NOTE = 22
    KEY = 23


HEADINGS = {
    Col.PART: ("Part", 28),
    Col.STATUS: ("Status", 17),
    Col.ORDER: ("To order", 9),
    Col.SIDE: ("Side", 6),
    Col.NEEDED: ("Needed", 8),
    Col.KIT: ("In kit", 6),
    Col.CAR: ("On car", 7),
    Col.SHELF: ("On shelf", 7),
    Col.ON_HAND: (ON_HAND, 9),
    Col.PACK: ("Pack of", 7),
    Col.PACKS: ("Packs", 7),
    Col.PRICE: ("Price of a pack", 9),
    Col.OWN_PRICE: (OWN_PRICE, 8),
    Col.TOTAL: ("Total", 9),
    Col.NUMBER: ("Part number", 13),
    Col.SUPPLIER: ("Supplier", 12),
    Col.OWN_SUPPLIER: (OWN_SUPPLIER, 10),
    Col.DAYS: ("Lead time, days", 7),
    Col.RECEIVED: (RECEIVED, 9),
    Col.WHY: ("Why, where, and how the number comes about", 30),
    Col.ONCE: ("Use once", 6),
    Col.NOTE: ("Remarks", 31),
    Col.OWN_NOTE: (OWN_NOTE, 13),
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
