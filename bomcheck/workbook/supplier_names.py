"""Suppliers of the price list: one supplier, one spelling."""

from dataclasses import replace

from bomcheck.workbook.read_tables import PartLine


def one_spelling(lines: list[PartLine]) -> list[PartLine]:
    """Every line with its supplier as it is spelled the first time; capitals and spaces make no other supplier."""
    first: dict[tuple[str, ...], str] = {}
    same = []
    for line in lines:
        typed = line.part.supplier
        name = first.setdefault(tuple(typed.casefold().split()), " ".join(typed.split()))
        same.append(line if name == typed else replace(line, part=replace(line.part, supplier=name)))
    return same
