"""Packing slips as suppliers send them: headings, dividing signs, letters, quantities, sides."""

from pathlib import Path

import pytest
import xlsxwriter

from bomcheck.io.receive.slip import read_slips
from bomcheck.model.errors import WorkbookError


def slip(folder: Path, text: str | bytes, name: str = "slip.csv") -> Path:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return path


@pytest.mark.parametrize(
    "text",
    [
        "Part no,Description,Qty,Side\n0012,brake hose,2,left\n",
        "Delivery 17;;;\nfor job 4;;;\nArticle;Text;Qty shipped;L/R\n0012;brake hose;2 pcs;LH\n;Total;2;\n",
        "P/N\tItem\tPieces\tHand\r\n0012\tbrake hose\t2\tl\r\n",
        "Code,Goods,Sent qty,Side\n0012,brake hose,2,left\n",
        "Lieferschein Nr. 4711;;;\nArtikel;Bezeichnung;Menge;Seite\n0012;brake hose;2 Stk;L\n",
        "Item code;Item description;Qty ordered;Delivered qty;Side\n0012;brake hose;4;2;left\n",
        "\ufeffpart_number,name,quantity,side\n0012,brake hose,2.0,Left\n",
    ],
)
def test_headings_are_found_by_what_they_say(tmp_path: Path, text: str) -> None:
    """Comma, semicolon or tab; lines above the headings and a total below; numbers stay text."""
    (read,) = read_slips(slip(tmp_path, text))
    assert [(one.part_number, one.description, one.quantity, one.side) for one in read.lines] == [
        ("0012", "brake hose", 2.0, "left")
    ]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_letters(tmp_path: Path, encoding: str) -> None:
    """Programs write CSV in several encodings."""
    (read,) = read_slips(slip(tmp_path, "Part no,Description,Qty\nA1,Bremsschlauch für vorn,1\n".encode(encoding)))
    assert read.lines[0].description == "Bremsschlauch für vorn"


def test_a_workbook_is_read_like_a_csv(tmp_path: Path) -> None:
    """The sheet with the headings, wherever it stands; a number typed as a number is its digits."""
    book = xlsxwriter.Workbook(tmp_path / "slip.xlsx")
    book.add_worksheet("Cover").write("A1", "Thank you")
    sheet = book.add_worksheet("Lines")
    sheet.write_row(3, 1, ["Item no", "Description", "Shipped", "Ordered"])
    sheet.write_row(4, 1, [4711, "clip", 4, 6])
    book.close()
    (line,) = read_slips(tmp_path / "slip.xlsx")[0].lines
    assert (line.part_number, line.quantity, line.row) == ("4711", 4.0, "Lines!A5")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("Part no,Qty\nA1,two\n", 'row 2: "two": this is no quantity'),
        ("Part no,Qty\nA1,-1\n", 'row 2: "-1": this is no quantity'),
        ("Part no,Qty\nA1,\n", "row 2: the quantity of A1 is missing"),
        ("Part no,Qty,Side\nA1,1,up\n", 'row 2: "up": this is no side'),
        ("a,b\n1,2\n", "no row of headings"),
        ("Part no,Qty\n", "no line stands below"),
        ("", "empty"),
        (b"PK\x03\x04\0\0", "no text file"),
    ],
)
def test_what_cannot_be_read_is_one_line(tmp_path: Path, text: str | bytes, says: str) -> None:
    """The slip, the row, what was typed and what to type instead."""
    with pytest.raises(WorkbookError) as caught:
        read_slips(slip(tmp_path, text))
    assert says in str(caught.value)
    assert "slip.csv" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_quantity_without_a_part_is_named(tmp_path: Path) -> None:
    """It is not used, and not passed over in silence."""
    (read,) = read_slips(slip(tmp_path, "Part no,Description,Qty\nA1,x,1\n,,5\n"))
    assert read.remarks == ('slip.csv: row 3: "5": a quantity without a part; the row is not used.',)


def test_same_contents_same_mark(tmp_path: Path) -> None:
    """By its contents a slip is known again, whatever its file is called."""
    text = "Part no,Qty\nA1,1\n"
    marks = [
        read_slips(slip(tmp_path, one, name))[0].mark
        for one, name in ((text, "a.csv"), (text, "b.csv"), (text + "B,2\n", "a.csv"))
    ]
    assert marks[0] == marks[1] != marks[2]


def test_the_number_of_a_note_in_german_is_read(tmp_path: Path) -> None:
    """ "Lieferschein Nr. 4711" above the headings, as the firms of that country write it; common practice, no source."""
    (read,) = read_slips(slip(tmp_path, "Lieferschein Nr. 4711;;\nArtikel;Bezeichnung;Menge\n0012;hose;2\n"))
    assert read.note == "4711"
