"""Papers that are no packing slip, and words beside a line: not come, not sound, of another job. Common practice, no source."""

from pathlib import Path

import pytest
import xlsxwriter

from bomcheck.io.receive.said import denied
from bomcheck.io.receive.slip import read_slips
from bomcheck.model.errors import WorkbookError
from bomcheck.model.job import Part
from tests.receive.test_slips_of_the_trade import HOSE, came, job, receive, slip

LINE = f"Part no,Description,Qty,Remark\n{HOSE},hose,2,"


@pytest.mark.parametrize(
    "words",
    ["ETA 15.12.2026", "due 15 Dec", "awaiting stock", "on order", "short shipped", "shipped separately", "not in this parcel",
     "missing from carton", "discontinued", "folgt", "Nachlieferung folgt", "wird nachgeliefert", "im Rückstand", "nicht lieferbar",
     "vergriffen", "storniert", "entfällt", "à suivre", "to follow", "B/O", "nicht geliefert", "fehlt", "manquant"],
)  # fmt: skip
def test_what_has_not_come_is_not_booked(tmp_path: Path, words: str) -> None:
    """Whatever the language: nothing of it came."""
    (one,) = read_slips(slip(tmp_path, f"{LINE}{words}\n"))
    assert one.lines[0].quantity == 0.0
    assert one.lines[0].follows
    assert not one.lines[0].unsure


@pytest.mark.parametrize(
    "words",
    [
        "damaged",
        "broken in transit",
        "wrong part, collect",
        "returned",
        "credit",
        "RMA 12",
        "beschädigt",
        "Gutschrift",
        "driver will collect",
        "cassé",
        "verbogen",
    ],
)
def test_what_came_but_may_go_back_is_asked(tmp_path: Path, words: str) -> None:
    """Nothing is booked until somebody says how many are kept."""
    path = slip(tmp_path, f"{LINE}{words}\n")
    assert words.split()[0].split(",")[0].casefold() in read_slips(path)[0].lines[0].unsure.casefold()
    assert not read_slips(path, {HOSE: "1"})[0].lines[0].unsure


@pytest.mark.parametrize(
    "words",
    ["", "undamaged", "not damaged", "nothing missing", "with return spring", "in good order", "due care", "collect at counter", "credit account",
     "on order no. 55", "awaiting signature", "invoice to follow", "no backorder", "Backorder: 0", "0 to follow", "damaged: none", "none missing",
     "no parts missing", "keine Teile beschädigt", "sans reliquat", "was backordered", "nicht beschädigt"],
)  # fmt: skip
def test_words_that_say_nothing_against_it(tmp_path: Path, words: str) -> None:
    """They book as a line without a word."""
    (line,) = read_slips(slip(tmp_path, f"{LINE}{words}\n"))[0].lines
    assert (line.quantity, line.unsure, line.follows) == (2.0, "", "")


@pytest.mark.parametrize(
    ("paper", "taken"),
    [("Order confirmation", False), ("Auftragsbestätigung", False), ("Quotation 12", False), ("Return note R-4", False),
     ("Credit note", False), ("Gutschrift", False), ("Proforma invoice", False), ("Packing slip", True), ("Dispatch advice", True),
     ("Delivery note 7 to your order confirmation 12", True), ("Invoice 9", True)],
)  # fmt: skip
def test_another_paper_is_not_booked(tmp_path: Path, paper: str, taken: bool) -> None:
    """What a supplier writes above the headings; a slip may name the order that it belongs to."""
    path = slip(tmp_path, f"{paper},,\n{LINE}\n")
    if taken:
        assert read_slips(path)[0].lines
    else:
        with pytest.raises(WorkbookError, match="booked from a packing slip"):
            read_slips(path)


@pytest.mark.parametrize(
    ("head", "booked"),
    [("Your order,HC-0999", 0), ("Customer PO: HC-0999", 0), ("Order no.,HC-0417", 2), ("Reference,HC-0417 / blue car", 2),
     ("Our order,88231", 2), ("Projekt,HC-0999", 0), ("Contract,HC-0999", 0), ("Ihre Bestellung,HC-0999", 0), ("Reference,SO-77", 2)],
)  # fmt: skip
def test_a_reference_made_up_as_a_job_s_number(tmp_path: Path, head: str, booked: float) -> None:
    """HC-0417 is this job; another number of that make-up is another job, one of any other make-up is the supplier's own."""
    path = job(tmp_path)
    told = receive(path, slip(tmp_path, f"Packing slip,\n{head}\n{LINE}\n"))
    assert came(path, HOSE) == booked
    assert ("For another job" in told.stdout) is (booked == 0)


@pytest.mark.parametrize(
    ("head", "number", "words"),
    [("Item,Description,Ordered,Shipped", HOSE, "hose"), ("MPN,Product,Ordered,Qty", HOSE, "hose"), ("Best.-Nr.,Bezeichnung,x,Menge", HOSE, "hose"),
     ("Item,,,Quantity", "", HOSE)],
)  # fmt: skip
def test_headings_by_the_likeliest(tmp_path: Path, head: str, number: str, words: str) -> None:
    """ "Item" is the number beside a description and the words where it stands alone; what was shipped is what came."""
    (line,) = read_slips(slip(tmp_path, f"{head}\n{HOSE},hose,3,2\n"))[0].lines
    assert (line.part_number, line.description, line.quantity) == (number, words, 2.0)


@pytest.mark.parametrize(
    ("head", "words"),
    [("Artikelnummer,Bezeichnung,Liefermenge", "Schlauch"), ("Réf,Désignation,Qté livrée", "durite"), ("Référence,Libellé,Quantité", "durite")],
)  # fmt: skip
def test_headings_of_other_languages(tmp_path: Path, head: str, words: str) -> None:
    """German and French slips book as English ones do."""
    (line,) = read_slips(slip(tmp_path, f"{head}\n{HOSE},{words},2\n"))[0].lines
    assert (line.part_number, line.description, line.quantity) == (HOSE, words, 2.0)


@pytest.mark.parametrize(
    ("rows", "remarks"),
    [("Thank you for your order,,", 1), (",All goods remain ours until they are paid,", 1), (",Signed for by,", 1), (",,7", 1), ("Total,,2", 0), (",,", 0)],
)  # fmt: skip
def test_text_below_the_lines_is_no_part(tmp_path: Path, rows: str, remarks: int) -> None:
    """What stands below the lines is told, and books nothing; a number without a quantity is still refused."""
    (one,) = read_slips(slip(tmp_path, f"Part no,Description,Qty\n{HOSE},hose,2\n{rows}\n"))
    assert ([line.quantity for line in one.lines], len(one.remarks)) == ([2.0], remarks)
    with pytest.raises(WorkbookError, match="is missing"):
        read_slips(slip(tmp_path, "Part no,Description,Qty\nA-1,hose,\n", "other.csv"))


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("fehlt", True),
        ("missing", True),
        ("not in this parcel", True),
        ("1 missing", True),
        ("rest to follow", False),
        ("backorder", False),
        ("none missing", False),
    ],
)
def test_what_was_sent_and_is_not_there_is_asked(tmp_path: Path, words: str, asked: bool) -> None:
    """Beside what was shipped a rest may follow; what the slip says is missing is booked by nobody until it is said how many came."""
    (line,) = read_slips(slip(tmp_path, f"Part no,Description,Shipped,Remark\n{HOSE},hose,2,{words}\n"))[0].lines
    assert bool(line.unsure) is asked
    assert line.quantity == (0.0 if asked else 2.0)


@pytest.mark.parametrize(
    ("part", "words", "wrong"),
    [(Part("pad set", strength_class="P44"), "pads, compound R2", "compound R2 on the slip, P44 expected"),
     (Part("pad set", strength_class="P44"), "pads, compound P44", ""),
     (Part("pad set", strength_class="FF"), "pads, edge code EE", "edge code EE on the slip, FF expected"),
     (Part("pad set", strength_class="FF"), "pads, compound R2, edge code FF", ""),
     (Part("fluid", strength_class="DOT 4"), "brake fluid DOT 3", "class 3 on the slip, 4 expected"),
     (Part("fluid", strength_class="DOT 4"), "brake fluid DOT4", ""),
     (Part("bracket screw", description="screw M10x1.25, 10.9"), "screw M10x1.25 8.8", "strength 8.8 on the slip, 10.9 expected"),
     (Part("shim"), "shim 8.8 mm", "")],
)  # fmt: skip
def test_what_both_name_must_be_the_same(part: Part, words: str, wrong: str) -> None:
    """Compound, edge code, class of fluid and strength, where the expected part has one too."""
    assert list(denied(words, part)) == [wrong] * bool(wrong)


def test_a_slip_of_which_nothing_was_known_is_not_booked_before(tmp_path: Path) -> None:
    """Its headings were misread; once they are put right, the same delivery note is booked."""
    path = job(tmp_path)
    wrong = receive(path, slip(tmp_path, f"Packing slip no,PS-88\nWhat,Qty\n{HOSE},2\n"))
    assert "Nothing was ticked off" in wrong.stdout
    right = receive(path, slip(tmp_path, f"Packing slip no,PS-88\nPart no,Qty\n{HOSE},2\n", "right.csv"))
    assert "booked" not in right.stdout
    assert came(path, HOSE) == 2


def test_two_sheets_of_a_slip_are_asked_about(tmp_path: Path) -> None:
    """Carton 2 may be more parts, or the same said again."""
    path = tmp_path / "slip.xlsx"
    book = xlsxwriter.Workbook(str(path))
    for name in ("Carton 1", "Carton 2"):
        sheet = book.add_worksheet(name)
        sheet.write_row(0, 0, ["Part no", "Qty"])
        sheet.write_row(1, 0, [HOSE, 1])
    book.close()
    with pytest.raises(WorkbookError, match=r"Carton 1.*Carton 2"):
        read_slips(path)


@pytest.mark.parametrize(
    ("text", "unit"),
    [("Part no,Qty,Unit,Pack size\nA,1,pack,5\n", "pack of 5"), ("Part no,Description,Qty\nA,clips (pack of 5),1 pack\n", "pack of 5"),
     ("Part no,Description,Qty\nA,locker 5 ml,1 bottle\n", "bottle of 5 ml"), ("Part no,Qty\nA,1 pack of 2\n", "pack of 2")],
)  # fmt: skip
def test_what_a_pack_holds_by_the_slip(tmp_path: Path, text: str, unit: str) -> None:
    """By its column, or its words; it rules over what the price list says."""
    assert read_slips(slip(tmp_path, text))[0].lines[0].unit == unit


def test_what_is_refused_is_told(tmp_path: Path) -> None:
    """It is listed as wrong, and never ticked off."""
    path = job(tmp_path)
    told = receive(path, slip(tmp_path, f"{LINE}\n"), "--refuse", HOSE)
    assert "refused, to go back" in told.stdout
    assert came(path, HOSE) == 0


def test_four_pads_are_one_set_or_four(tmp_path: Path) -> None:
    """A set is four pads: "4 pcs" of one set that is expected is asked."""
    path = job(tmp_path)
    told = receive(path, slip(tmp_path, "Part no,Description,Qty\nP44-F2,pads,4 pcs\n"))
    assert told.exit_code == 3
    assert "in how many sets" in told.stdout
    assert (
        receive(path, slip(tmp_path, "Part no,Description,Qty\nP44-F2,pads,4 pcs\n"), "--say", "P44-F2=1 set").exit_code
        == 1
    )
    assert came(path, "P44-F2") == 1
