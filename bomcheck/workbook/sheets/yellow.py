"""How formulas take a yellow cell: a text or a figure below zero is not used, as `parts.typed.amount` has it."""


def is_usable(at: str) -> str:
    """Condition that a figure stands there that can be used. at: address of the cell."""
    return f"AND(ISNUMBER({at}),{at}>=0)"


def counts_as(at: str) -> str:
    """The figure there; 0 for none that can be used: MAX passes over a text in a cell. at: address of the cell."""
    return f"MAX(0,{at})"
