"""The results as they come out of a printer: letters large enough to read at a bench, and pages that are not nearly empty.

Outside judges: LibreOffice prints, pdfminer.six measures. At least 8 pt and the shares of a page: rule of this project.
Every demo is printed where the environment variable BOMCHECK_PAPER is "all"; else three of them.
"""

import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
from pdfminer.converter import PDFLayoutAnalyzer
from pdfminer.layout import LTChar, LTPage
from pdfminer.pdfinterp import PDFPageInterpreter, PDFResourceManager
from pdfminer.pdfpage import PDFPage

from bomcheck.model.shipped import folder
from tests.workbook.every_workbook import checked
from tests.workbook.once import made_once
from tests.workbook.recalculate import print_all

READ = (
    "Compatibility", "Parts list", "Quote", "Tick list", "Brake line", "Shims", "Measure next", "Fit-up and test",
    "Whole car", "What if", "Proof", "Drawing",
)  # fmt: skip
"""Sheets that are read at a bench, across a counter or by a customer."""
FORMS = ("Start here", "Job", "Corner", "Kit", "System", "Box contents", "On hand", "Limits")
"""Sheets that are printed to be filled in; their pages hold what is still empty. A price list is for the screen."""

CHARTS = "Whole car"  # whose charts have smaller figures along their axes, and take room that holds few letters
SMALLEST = 7.95  # pt; 8 pt as LibreOffice rounds a page's scale down
EMPTIEST = 0.40  # of a page of a sheet that has several
ALL = os.environ.get("BOMCHECK_PAPER") == "all"
DEMOS = sorted(path.stem for path in folder("demo_workbooks").glob("*.xlsx"))
PRINTED = DEMOS if ALL else ["hill_climb_two_seater", "half_measured_coupe", "inch_pickup"]
MADE = [(name, paper) for name in PRINTED for paper in ("a4", "letter")]
FOOTER = re.compile(r"certifies nothing\.(.*), page \d+ of \d+")


@dataclass(frozen=True)
class Printed:
    """A page: of which sheet, its smallest letter [pt], how far down it is used, in parts of what can be printed on, and whether a figure is
    wider than its column, which a spreadsheet program shows as ###."""

    sheet: str
    smallest: float
    used: float
    narrow: bool


class _Letters(PDFLayoutAnalyzer):
    """Keeps the letters of one page."""

    def receive_layout(self, page: LTPage) -> None:
        self.letters = [one for one in page if isinstance(one, LTChar)]
        self.height = page.height


def pages(pdf: Path) -> Iterator[Printed]:
    """Every page of the sheets that are read."""
    resources = PDFResourceManager()
    device = _Letters(resources)
    interpreter = PDFPageInterpreter(resources, device)
    with pdf.open("rb") as file:
        for page in PDFPage.get_pages(file):
            interpreter.process_page(page)
            found = _measured(device.letters, device.height)
            if found is not None and kind_of(found.sheet) in READ + FORMS:
                yield found


def kind_of(sheet: str) -> str:
    """The sheet's name without axle and side, which a car with two kits has on it."""
    return re.sub(r" (front|rear)( left| right)?$", "", sheet)


def _measured(letters: list[LTChar], height: float) -> Printed | None:
    """The margins are 0.4 in above and 0.55 in below, where the footer stands."""
    foot = sorted((one for one in letters if one.y0 < 0.55 * 72), key=lambda one: (-round(one.y0), one.x0))
    told = FOOTER.search("".join(one.get_text() for one in foot))
    body = [one for one in letters if one.y0 >= 0.55 * 72 and one.get_text().isascii() and one.get_text().isalnum()]
    if told is None or not body:
        return None
    top, lowest = height - 0.4 * 72, min(one.y0 for one in body)
    return Printed(
        told[1].strip(),
        min(one.size for one in body),
        (top - lowest) / (top - 0.55 * 72),
        "###" in "".join(one.get_text() for one in letters),
    )


def _print(into: Path) -> None:
    sources = []
    for name, paper in MADE:
        source = into / f"{name}_{paper}.xlsx"
        checked(folder("demo_workbooks") / f"{name}.xlsx", source)
        _on_paper(source, {"a4": b"9", "letter": b"1"}[paper])
        sources.append(source)
    print_all(sources, into)


def _on_paper(path: Path, size: bytes) -> None:
    """The workbook with all sheets on this paper, by its number in ISO/IEC 29500-1 18.3.1.63."""
    out = BytesIO()
    with ZipFile(path) as old, ZipFile(out, "w", ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(name, re.sub(rb'(?<= paperSize=")\d+', size, old.read(name)))
    path.write_bytes(out.getvalue())


@pytest.fixture(scope="session")
def on_paper(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the results as PDF, printed in one start of LibreOffice."""
    return made_once(tmp_path_factory, "on_paper", _print)


@pytest.mark.parametrize(("name", "paper"), MADE)
def test_large_enough_and_well_filled(name: str, paper: str, on_paper: Path) -> None:
    """No letter below 8 pt on either paper. On the paper of its own units: no page of a sheet of several that is used to less
    than EMPTIEST, and the Quote is one page."""
    found = list(pages(on_paper / f"{name}_{paper}.pdf"))
    by_sheet = {sheet: [page for page in found if page.sheet == sheet] for sheet in {one.sheet for one in found}}
    assert set(map(kind_of, by_sheet)) == {*READ, *FORMS}
    assert [page for page in found if page.smallest < SMALLEST and page.sheet != CHARTS] == []
    assert [page for page in found if page.narrow] == []
    if (paper == "letter") == name.startswith("inch"):
        several = [
            page for sheet, made in by_sheet.items() if len(made) > 1 and sheet not in (CHARTS, *FORMS) for page in made
        ]
        assert [page for page in several if page.used < EMPTIEST] == []
        assert len(by_sheet["Quote"]) == 1
