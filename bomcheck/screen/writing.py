"""Results as CSV, as JSON lines, or as a workbook with a matrix; bytes are the same however the work was divided."""

import csv
import io
import json
import re
from collections.abc import Iterable, Sequence
from io import BytesIO
from typing import Any

import numpy as np

from bomcheck.engine.many.deciding import BY_SEVERITY
from bomcheck.engine.many.lanes import Array
from bomcheck.io.order.csv_file import safe_text
from bomcheck.screen.blocks import Block
from bomcheck.screen.grids import refuse
from bomcheck.screen.rank import DIGITS, HEADINGS, Line, asked_label, ranked, titles
from bomcheck.screen.world import World

SHEETS = ("Order of merit", "Matrix")
MOST_ROWS = 1_048_575
MOST_MATRIX = (16_000, 500_000)  # kits across; cells in all


def csv_text(lines: Iterable[Line]) -> str:
    """Lines of a CSV table, without its head; no text of it becomes a formula when a spreadsheet opens it."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(_row(line) for line in lines)
    return text.getvalue()


def csv_head() -> str:
    """The first line."""
    return ",".join(HEADINGS) + "\n"


def _row(line: Line) -> Sequence[Any]:
    added = line.added
    return (
        safe_text(line.corner), safe_text(line.kit), line.rank, line.verdict, safe_text(line.decides),
        "" if line.margin is None else f"{line.margin:.{DIGITS}f}", safe_text(line.unit), safe_text(line.measure),
        safe_text(added.parts) if added else "", _price(added),
    )  # fmt: skip


def _price(added: Any) -> str:
    if added is None or added.price is None:
        return ""
    return f"{added.price:.2f}" if added.whole else f"{added.price:.2f} and what has no price"


def json_text(lines: Iterable[Line]) -> str:
    """One JSON object a line."""
    return "".join(json.dumps(_record(line), ensure_ascii=False) + "\n" for line in lines)


def _record(line: Line) -> dict[str, Any]:
    added = line.added
    return {
        "corner": line.corner, "kit": line.kit, "rank": line.rank, "verdict": line.verdict, "decides": line.decides,
        "margin": None if line.margin is None else round(line.margin, 9), "unit": line.unit, "measure": line.measure,
        "parts": added.parts if added else None, "price": added.price if added else None,
        "price_is_whole": added.whole if added else None,
    }  # fmt: skip


def write_workbook(name: str, out: BytesIO, lines: list[Line], corners: list[str], kits: list[str]) -> None:
    """A list in order of merit, and a matrix with a word in every cell; colours only repeat the words."""
    if len(lines) > MOST_ROWS:
        wrong = f"{len(lines):,} pairs are more than the {MOST_ROWS:,} rows of a sheet"
        raise refuse("too large", name, wrong, "Use --passers, or --out results.csv")
    from xlsxwriter import Workbook

    book = Workbook(out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False})
    looks = _looks(book)
    _write_list(book, looks, lines)
    if len(kits) <= MOST_MATRIX[0] and len(kits) * len(corners) <= MOST_MATRIX[1]:
        _write_matrix(book, looks, lines, corners, kits)
    book.close()


def _looks(book: Any) -> dict[str, Any]:
    from bomcheck.io import layout as palette

    made = {
        word: book.add_format({"bg_color": fill, "font_color": ink, "border": 1, "border_color": palette.RULE})
        for word, (fill, ink) in palette.VERDICT_COLOURS.items()
    }
    made["head"] = book.add_format({"bold": True, "bottom": 2, "text_wrap": True, "valign": "top"})
    made["side"] = book.add_format({"bold": True})
    made["tall"] = book.add_format({"bold": True, "bottom": 2, "rotation": 90})
    made["figure"] = book.add_format({"num_format": "0.00"})
    made["plain"] = book.add_format({})
    return made


def _write_list(book: Any, looks: dict[str, Any], lines: list[Line]) -> None:
    sheet = book.add_worksheet(SHEETS[0])
    for column, (heading, width) in enumerate(zip(HEADINGS, (26, 20, 6, 17, 34, 9, 11, 34, 60, 14), strict=True)):
        sheet.set_column(column, column, width)
        sheet.write_string(0, column, heading[:1].upper() + heading[1:], looks["head"])
    for row, line in enumerate(lines, 1):
        sheet.write_string(row, 0, line.corner)
        sheet.write_string(row, 1, line.kit)
        sheet.write_number(row, 2, line.rank)
        sheet.write_string(row, 3, line.verdict, looks.get(line.verdict, looks["plain"]))
        sheet.write_string(row, 4, line.decides)
        if line.margin is not None:
            sheet.write_number(row, 5, line.margin, looks["figure"])
        for column, text in ((6, line.unit), (7, line.measure), (8, line.added.parts if line.added else "")):
            if text:
                sheet.write_string(row, column, text)
        if line.added and line.added.price is not None:
            whole = line.added.whole
            sheet.write(row, 9, line.added.price if whole else _price(line.added), looks["figure"])
    sheet.freeze_panes(1, 2)
    if lines:
        sheet.autofilter(0, 0, len(lines), len(HEADINGS) - 1)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)


def _write_matrix(book: Any, looks: dict[str, Any], lines: list[Line], corners: list[str], kits: list[str]) -> None:
    sheet = book.add_worksheet(SHEETS[1])
    rows, columns = ({name: place for place, name in enumerate(names, 1)} for names in (corners, kits))
    sheet.set_column(0, 0, 26)
    sheet.set_column(1, len(kits), 15)
    sheet.write_string(0, 0, "Corner \\ kit", looks["head"])
    for name, column in columns.items():
        sheet.write_string(0, column, name, looks["tall"])
    for name, row in rows.items():
        sheet.write_string(row, 0, name, looks["side"])
    for line in lines:
        sheet.write_string(rows[line.corner], columns[line.kit], line.verdict, looks.get(line.verdict, looks["plain"]))
    sheet.freeze_panes(1, 1)
    sheet.set_landscape()
    sheet.repeat_rows(0)


UNSAFE = re.compile(r"[^\w \-.]")
"""Signs for which the csv module is asked how it writes them."""


def quick_csv(world: World, block: Block) -> str:
    """The lines of a block without parts; it stands in order of merit. What many lines share is put together once."""
    places = ranked(block.corner)
    heads = _at(_cells(world.corners.names), block.corner)
    kits = _at(_cells(world.kits.names), block.kit)
    ranks = _at([f"{rank}," for rank in range(int(places.max(initial=0)) + 1)], places)
    verdicts = _verdicts()[block.severity, block.place].tolist()
    ends = _ends(block)[np.isnan(block.margin).astype(np.intp), block.place, block.measure].tolist()
    return "".join(
        [
            f"{head}{kit}{rank}{verdict}{margin:.4f}{end}" if margin == margin else f"{head}{kit}{rank}{verdict}{end}"
            for head, kit, rank, verdict, margin, end in zip(
                heads, kits, ranks, verdicts, block.margin.tolist(), ends, strict=True
            )
        ]
    )


def _at(texts: list[str], places: Array) -> list[str]:
    found: list[str] = np.array(texts, dtype=object)[places].tolist()
    return found


def _verdicts() -> Array:
    """Verdict and what decides, by severity and place."""
    decides = _cells(title for title, _ in titles())
    verdicts = [_cell(str(BY_SEVERITY.get(severity, ""))) for severity in range(max(BY_SEVERITY) + 1)]
    return np.array([[verdict + title for title in decides] for verdict in verdicts], dtype=object)


def _ends(block: Block) -> Array:
    """What follows the margin, by whether there is none, place, and what to measure."""
    words = _cells([asked_label(word) if word else "" for word in block.words])
    with_unit = [[f",{unit},{word},\n" for word in words] for _, unit in titles()]
    return np.array([with_unit, [[f",,{word},\n" for word in words] for _ in titles()]], dtype=object)


def _cells(texts: Iterable[str]) -> list[str]:
    return [_cell(text) for text in texts]


def _cell(text: str) -> str:
    """A text as a cell of a CSV table, with the comma behind it."""
    text = safe_text(text)
    if not UNSAFE.search(text):
        return f"{text},"
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow(["", text])
    return f"{out.getvalue()[1:-1]},"
