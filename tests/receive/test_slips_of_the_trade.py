"""Slips as suppliers really send them: known again, shared out, to follow, substituted, asked. Common practice, no source."""

import csv
from datetime import date, timedelta
from pathlib import Path

import pytest
import xlsxwriter
from click.testing import CliRunner, Result
from openpyxl import load_workbook

from bomcheck.commands.cli import main
from bomcheck.io.package import open_package
from bomcheck.io.read.own import kept_from
from bomcheck.model.shipped import folder
from tests.helpers.demo_jobs import checked, hill_climb
from tests.helpers.one_sheet import one_sheet

HEAD = "Part no,Description,Qty,Side\n"
HOSE = "HS-BU-3-430"


def receive(*words: str | Path) -> Result:
    return CliRunner().invoke(main, ["receive", *map(str, words)])


def slip(place: Path, text: str, name: str = "slip.csv") -> Path:
    (place / name).write_text(text)
    return place / name


def job(place: Path, number: str = "", axle: str = "", name: str = "job.xlsx") -> Path:
    """The hill-climb job, of another number or axle."""
    made = place / f"make {name}"
    made.mkdir(parents=True)
    path = hill_climb(made)
    if number or axle:
        book = load_workbook(path)
        for row in book["Job"].iter_rows():
            for cell in row:
                if cell.value == "Job number" and number:
                    row[cell.column].value = number
                if cell.value == "Axle" and axle:
                    row[cell.column].value = axle
        book.save(path)
    return path.rename(place / name)


def came(path: Path, part: str) -> float:
    """What the Parts list says was received of a part number."""
    package = open_package(path)
    try:
        sheet = one_sheet(path, "Parts list", data_only=True)
    except KeyError:
        return 0.0
    heads = {cell.value: cell.column - 1 for row in sheet.iter_rows(max_row=3) for cell in row if cell.value}
    rows = [row for row in sheet.iter_rows() if any(cell.value == part for cell in row)]
    kept = kept_from(package)
    keys = [next(cell.value for cell in row if cell.value in kept) for row in rows if any(c.value in kept for c in row)]
    assert heads
    return sum(float(kept[key].get("received", 0.0)) for key in keys)


def test_a_slip_saved_again_is_booked_once(tmp_path: Path) -> None:
    """The same delivery note and lines, saved by another program: other bytes, another kind of file."""
    path = job(tmp_path)
    text = f"Delivery note: 4711,,,\nPart no,Description,Qty,Side\n{HOSE},hose,1,\n"
    assert receive(path, slip(tmp_path, text)).exit_code == 1
    semicolons = text.replace(",", ";").replace("\n", "\r\n")
    again = receive(path, slip(tmp_path, semicolons, "again.csv"))
    assert "booked before" in again.stdout
    book = xlsxwriter.Workbook(str(tmp_path / "again.xlsx"))
    sheet = book.add_worksheet()
    for number, row in enumerate(csv.reader(text.splitlines())):
        for column, cell in enumerate(row):
            sheet.write(number, column, float(cell) if cell == "1" else cell)
    book.close()
    assert "booked before" in receive(path, tmp_path / "again.xlsx").stdout
    assert came(path, HOSE) == 1


def test_another_delivery_note_with_the_same_lines_is_another_parcel(tmp_path: Path) -> None:
    """Each hose on a note of its own."""
    path = job(tmp_path)
    for number in ("4711", "4712"):
        text = f"Delivery note no {number},,,\n{HEAD}{HOSE},hose,1,\n"
        assert "booked before" not in receive(path, slip(tmp_path, text)).stdout
    assert came(path, HOSE) == 2


COLUMN = "Delivery note,Part no,Description,Qty\n"
SHAPES = {
    "column": COLUMN + "4711,{hose},hose,1\n4712,AT-18-3,adapter,2\n",
    "column filled once": COLUMN + "4711,{hose},hose,1\n4712,AT-18-3,adapter,2\n,QQ-1,card,1\n",
    "two heads": "Delivery note 4711,,\nPart no,Description,Qty\n{hose},hose,1\nDelivery note: 4712,,\nAT-18-3,adapter,2\n",
    "two tables": "Delivery note 4711,,\nPart no,Description,Qty\n{hose},hose,1\nTotal,,1\n"
    ",,\nDelivery note,4712,\nSent with van 3,,\nQty,Part no,Description\n2,AT-18-3,adapter\n",
}


@pytest.mark.parametrize("shape", SHAPES)
def test_two_delivery_notes_in_one_file_are_two_parcels(tmp_path: Path, shape: str) -> None:
    """4711 with a hose, 4712 with two adapters: either saved alone is known again, whichever shape the file had; 4712 with another
    count is asked about and holds up the whole file; 4713 with the same hose is another parcel."""
    path, text = job(tmp_path), slip(tmp_path, SHAPES[shape].format(hose=HOSE))
    first = receive(path, text)
    assert first.exit_code == 1, first.output
    assert "delivery note 4711: 1 line" in first.stdout
    assert "delivery note 4712: " in first.stdout
    assert (came(path, HOSE), came(path, "AT-18-3")) == (1, 2)
    assert receive(path, text).stdout.count("booked before") == 2
    if shape != "column filled once":
        alone = "Delivery note 4712,,\nPart no,Description,Qty\nAT-18-3,adapter,2\n"
        assert "booked before" in receive(path, slip(tmp_path, alone, "alone.csv")).stdout
    other = receive(path, slip(tmp_path, f"{COLUMN}4713,{HOSE},hose,1\n4712,AT-18-3,adapter,1\n", "other.csv"))
    assert other.exit_code == 3
    assert "Delivery note 4712 was booked" in other.stdout
    assert (came(path, HOSE), came(path, "AT-18-3")) == (1, 2)
    late = receive(path, slip(tmp_path, f"{COLUMN}4711,{HOSE},hose,1\n4713,{HOSE},hose,1\n", "late.csv"))
    assert late.stdout.count("booked before") == 1
    assert came(path, HOSE) == 2


def test_each_delivery_note_has_its_own_job(tmp_path: Path) -> None:
    """Two notes for two jobs below one another in one file: a hose goes to the job that stands above it."""
    folder = tmp_path / "jobs"
    first, second = job(folder, "J-1", name="a.xlsx"), job(folder, "J-2", name="b.xlsx")
    lines = "".join(
        f"Delivery note {note},,\nYour job,{number},\nPart no,Description,Qty\n{HOSE},hose,{count}\n,,\n"
        for note, number, count in (("4711", "J-2", 2), ("4712", "J-1", 1))
    )
    done = receive(slip(tmp_path, lines), "--jobs", folder)
    assert done.exit_code == 1, done.output
    assert (came(first, HOSE), came(second, HOSE)) == (1, 2)


def test_the_way_out_of_two_honest_identical_slips_is_named(tmp_path: Path) -> None:
    """Without a number the second is taken for the first; --another books it."""
    path, text = job(tmp_path), f"{HEAD}{HOSE},hose,1,\n"
    receive(path, slip(tmp_path, text))
    second = receive(path, slip(tmp_path, text, "second.csv"))
    assert "--another" in second.stdout
    assert "delivery note" in second.stdout
    assert came(path, HOSE) == 1
    assert "booked before" not in receive(path, tmp_path / "second.csv", "--another").stdout
    assert came(path, HOSE) == 2


def test_a_known_delivery_note_with_other_lines_is_asked(tmp_path: Path) -> None:
    """A correction, or the rest? Nothing is booked until it is said."""
    path = job(tmp_path)
    receive(path, slip(tmp_path, f"Delivery note 4711,,,\n{HEAD}{HOSE},hose,1,\n"))
    rest = slip(tmp_path, f"Delivery note 4711,,,\n{HEAD}AT-18-3,adapter,2,\n", "rest.csv")
    before = path.read_bytes()
    asked = receive(path, rest)
    assert asked.exit_code == 3
    assert "with other lines" in asked.stdout
    assert path.read_bytes() == before
    assert receive(path, rest, "--another").exit_code == 1
    assert came(path, "AT-18-3") == 2


@pytest.mark.parametrize(
    "again",
    [
        "Part no,Description,Qty\nAT-18-3,adapter,1\nHS-BU-3-430,hose,1\n",
        "Qty,Text,Part no\n1,hose,HS-BU-3-430\n1,adapter,AT-18-3\n",
        "Packing slip 77,,\nPart no,Description,Qty\nHS-BU-3-430,hose,1\nAT-18-3,adapter,1\n",
        "Part no,Description,Qty\nHS-BU-3-430,braided hose,1 pc\nAT-18-3,adapter,1.0\n",
    ],
)
def test_the_very_same_parts_on_another_slip_are_asked(tmp_path: Path, again: str) -> None:
    """Rows or columns in another order, other words, or a note's number on one of the two: the same parcel, or a second?"""
    path = job(tmp_path)
    receive(path, slip(tmp_path, "Part no,Description,Qty\nHS-BU-3-430,hose,1\nAT-18-3,adapter,1\n"))
    second, before = slip(tmp_path, again, "second.csv"), path.read_bytes()
    asked = receive(path, second)
    assert asked.exit_code == 3
    assert "brought the very same" in asked.stdout
    assert path.read_bytes() == before
    assert receive(path, second, "--another").exit_code == 1
    assert (came(path, HOSE), came(path, "AT-18-3")) == (2, 2)


@pytest.mark.parametrize(
    ("text", "there"),
    [
        ("Part no,Description,Qty\nBF-4-1,brake fluid,1 to follow\n", 0),
        ("Part no,Description,Qty,Remarks\nBF-4-1,brake fluid,1,1 to follow\n", 0),
        ("Part no,Description,Qty,Unit\nBF-4-1,brake fluid,1,to follow\n", 0),
        ("Part no,Description,Qty,Status\nBF-4-1,brake fluid,2,back order\n", 0),
        ("Part no,Description,Shipped,To follow\nBF-4-1,brake fluid,1,1\n", 1),
        ("Part no,Description,Qty,Remarks\nBF-4-1,brake fluid,1 can,2 to follow\n", 1),
    ],
)
def test_to_follow_is_not_came(tmp_path: Path, text: str, there: float) -> None:
    """A can that follows has not come, wherever the slip says so, and is named."""
    path = job(tmp_path)
    done = receive(path, slip(tmp_path, text))
    assert done.exit_code == 1, done.output
    assert "To follow, says the slip" in done.stdout
    assert came(path, "BF-4-1") == there


def test_how_many_of_a_number_followed_is_asked(tmp_path: Path) -> None:
    """2, of which 1 is to follow: did one come or two?"""
    path = job(tmp_path)
    text = slip(tmp_path, "Part no,Description,Qty,Remarks\nBF-4-1,brake fluid,2,1 to follow\n")
    asked = receive(path, text)
    assert asked.exit_code == 3
    assert "how many of the 2 came" in asked.stdout
    assert receive(path, text, "--say", "BF-4-1=1 can").exit_code == 1
    assert came(path, "BF-4-1") == 1


def test_a_line_of_another_job_is_not_booked(tmp_path: Path) -> None:
    """The slip's own column says whose it is."""
    path = job(tmp_path, "J-7")
    done = receive(path, slip(tmp_path, f"Part no,Description,Qty,Your ref\n{HOSE},hose,1,J-8\n{HOSE},hose,1,j-7\n"))
    assert "For another job, not booked" in done.stdout
    assert came(path, HOSE) == 1


def test_one_without_a_unit_is_asked(tmp_path: Path) -> None:
    """Clips come in packs of four: one clip or one pack?"""
    path = job(tmp_path)
    text = slip(tmp_path, f"{HEAD}LC-1,clips,1,\n")
    before = path.read_bytes()
    asked = receive(path, text)
    assert asked.exit_code == 3
    assert "1 single one or 1 pack of 4" in asked.stdout
    assert path.read_bytes() == before
    assert receive(path, text, "--say", "LC-1=1 pack").exit_code == 1
    assert came(path, "LC-1") == 4


def test_the_kits_own_number_ticks_its_box(tmp_path: Path) -> None:
    """One line for the whole kit."""
    path = job(tmp_path)
    checked(path)
    number = next(row[1].value for row in one_sheet(path, "Kit").iter_rows() if row[0].value == "Kit number")
    done = receive(path, slip(tmp_path, f"{HEAD}{number},conversion kit,1,\n"))
    assert "everything in its box" in done.stdout
    assert "from the kit's box" not in done.stdout
    assert came(path, "RK-HS22") == 16
    assert came(path, HOSE) == 0


def test_each_kits_number_ticks_its_own_axles_box(tmp_path: Path) -> None:
    """A car with a kit at each axle: the front kit's number ticks off the front kit's box and nothing of the rear one's."""
    path = tmp_path / "car.xlsx"
    path.write_bytes((folder("demo_workbooks") / "touring_coupe_both_axles.xlsx").read_bytes())
    checked(path)
    book = load_workbook(path)
    front, rear = (
        next(row[1].value for row in book[f"Kit {axle}"].iter_rows() if row[0].value == "Kit number")
        for axle in ("front", "rear")
    )
    done = receive(path, slip(tmp_path, f"{HEAD}{front},front kit,1,\n"))
    assert f"the kit {front} front kit: everything in its box" in done.stdout
    assert "from the kit's box" in done.stdout
    done = receive(path, slip(tmp_path, f"{HEAD}{rear},rear kit,1,\n", "rear.csv"))
    assert f"the kit {rear} rear kit: everything in its box" in done.stdout
    assert "from the kit's box" not in done.stdout


@pytest.mark.parametrize("words", ["clip", "braided hose of another maker"])
def test_what_was_refused_is_taken_when_the_shop_says_so_afterwards(tmp_path: Path, words: str) -> None:
    """The slip was booked without it, as wrong or unknown; the same slip with --instead takes that line alone, and once."""
    path = job(tmp_path)
    text = slip(tmp_path, f"{HEAD}HS-99,{words},2,\nLC-1,clips,4,\n")
    first = receive(path, text)
    assert (came(path, HOSE), came(path, "LC-1")) == (0, 4)
    assert "HS-99" in first.stdout
    for _ in range(2):
        taken = receive(path, text, "--instead", f"{HOSE}=HS-99")
        assert (came(path, HOSE), came(path, "LC-1")) == (2, 4)
    assert "booked before" in taken.stdout


def test_a_substitute_is_taken_when_the_shop_says_so_and_kept(tmp_path: Path) -> None:
    """The supplier's word is asked; what was said holds for the next slip too."""
    path = job(tmp_path)
    text = slip(tmp_path, f"Delivery note 4711,,,\n{HEAD}HS-99,braided hose replaces {HOSE},1,\n")
    asked = receive(path, text)
    assert asked.exit_code == 3
    assert f"--instead {HOSE}=HS-99" in asked.stdout
    taken = receive(path, text, "--instead", f"{HOSE}=HS-99")
    assert f"in place of {HOSE}" in taken.stdout or f"[{HOSE}]" in taken.stdout
    assert came(path, HOSE) == 1
    assert CliRunner().invoke(main, ["check", str(path)]).exit_code == 0
    later = receive(path, slip(tmp_path, f"Delivery note 4712,,,\n{HEAD}HS-99,hose,1,\n", "later.csv"))
    assert later.exit_code == 1
    assert came(path, HOSE) == 2


def test_the_bench_and_the_bill_name_what_came(tmp_path: Path) -> None:
    """One hose as ordered and one of another maker: both are named; once both that came are the other's, it alone: on Fit-up, Tick
    list, Bill and in the history. The Parts list keeps what was ordered."""
    path, other = job(tmp_path), ("--instead", f"{HOSE}=HS-99")
    text = f'Delivery note,Part no,Description,Qty\n1,{HOSE},hose,1\n2,HS-99,"stainless hose, 430 mm",1\n'
    assert receive(path, slip(tmp_path, text), *other).exit_code == 1
    both = "braided hose, swivel nut, 430 mm and stainless hose, 430 mm"
    assert f"2 x {both} [{HOSE} and HS-99]" in said(path, "Fit-up and test")
    assert f"B{both[1:]}" in said(path, "Tick list")

    path = job(tmp_path / "second")
    two = slip(tmp_path, f'{HEAD}HS-99,"stainless hose, 430 mm",2,\n', "two.csv")
    assert receive(path, two, *other).exit_code == 1
    checked(path, {**kept_from(open_package(path)), "bench signed Fitted by, date": {"done": "AB"}})
    assert "2 x stainless hose, 430 mm [HS-99]" in said(path, "Fit-up and test")
    assert "2 x stainless hose, 430 mm [HS-99]" in said(path, "Job history")
    for sheet in ("Tick list", "Bill"):
        assert "Stainless hose, 430 mm" in said(path, sheet)
        assert "HS-99" in said(path, sheet)
    for sheet in ("Tick list", "Bill", "Fit-up and test", "Job history"):
        assert HOSE not in said(path, sheet)
        assert "raided hose, swivel" not in said(path, sheet)
    assert HOSE in said(path, "Parts list")
    for sheet in ("Receiving", "Bill", "Job history", "Tick list", "Fit-up and test", "Quote"):
        assert "Job HC-0417, Open two-seater" in "".join(said(path, sheet).splitlines()[:2]), sheet


def said(path: Path, sheet: str) -> str:
    return "\n".join(str(cell.value) for row in one_sheet(path, sheet).iter_rows() for cell in row if cell.value)


@pytest.mark.parametrize(
    ("length", "marked", "why"),
    [(430, "yes", ""), (430, "no", "not road-marked"), (250, "yes", "its length is 250 mm")],
)
def test_a_substitute_that_the_price_list_knows_is_judged(tmp_path: Path, length: int, marked: str, why: str) -> None:
    """What is taken in the place of a part goes through the part's own rules; one that does not serve is not booked."""
    path = job(tmp_path)
    book = load_workbook(path)
    sheet = book["Price list"]
    heads = {str(cell.value).split(" [")[0]: cell.column for cell in sheet[2] if cell.value}
    row = next(one[0].row for one in sheet.iter_rows() if any(cell.value == HOSE for cell in one))
    free = next(
        at
        for at in range(3, 80)
        if sheet.cell(at, heads["Part number"]).value is None and sheet.cell(at, 1).value is None
    )
    for column in range(1, sheet.max_column + 1):
        sheet.cell(free, column).value = sheet.cell(row, column).value
    for head, value in (("Part number", "HS-77"), ("Length", length), ("Road marked", marked), ("Price of one", 999)):
        sheet.cell(free, heads[head]).value = value
    book.save(path)
    done = receive(path, slip(tmp_path, f"{HEAD}HS-77,hose,1,\n"), "--instead", f"{HOSE}=HS-77")
    if why:
        assert done.exit_code == 3
        assert why in done.stdout
        assert "Nothing was booked" in done.stdout
    assert came(path, HOSE) == (0 if why else 1)


def test_a_workbook_that_is_open_is_not_booked_into(tmp_path: Path) -> None:
    """A second slip would replace the copy beside it, and the first booking with it."""
    path = job(tmp_path)
    (tmp_path / f".~lock.{path.name}#").write_text("x")
    done = receive(path, slip(tmp_path, f"{HEAD}{HOSE},hose,1,\n"))
    assert done.exit_code == 4
    assert "open in a spreadsheet program" in done.stderr
    assert not list(tmp_path.glob("*checked*"))


def test_one_parcel_into_two_jobs_is_booked_once(tmp_path: Path) -> None:
    """Two hoses for the front; received into the rear job as well, none is left."""
    front, rear = job(tmp_path, "J-7", "front", "front.xlsx"), job(tmp_path, "J-8", "front", "rear.xlsx")
    text = slip(tmp_path, f"{HEAD}{HOSE},hose,2,\n")
    receive(front, text)
    assert "booked before" in receive(rear, text).stdout
    assert (came(front, HOSE), came(rear, HOSE)) == (2, 0)


def test_a_slip_is_shared_out_over_the_open_jobs(tmp_path: Path) -> None:
    """Three hoses for two jobs that need two each: who needs them first is served first, and one stays short."""
    folder = tmp_path / "jobs"
    first, second = job(folder, "J-1", name="b.xlsx"), job(folder, "J-2", name="a.xlsx")
    text = slip(tmp_path, f"{HEAD}{HOSE},hose,3,\nQQ,poster,1,\n")
    done = receive(text, "--jobs", folder)
    assert done.exit_code == 1, done.output
    assert (came(first, HOSE), came(second, HOSE)) == (2, 1)
    assert "for J-2" in done.stdout
    assert "QQ poster" in done.stdout
    again = receive(text, "--jobs", folder)
    assert "booked before" in again.stdout
    assert (came(first, HOSE), came(second, HOSE)) == (2, 1)


def test_a_car_with_two_kits_in_the_folder_is_served(tmp_path: Path) -> None:
    """Its sheets are called "Kit front", "Kit rear": it is a job like the one-axle job beside it."""
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    car = jobs / "car.xlsx"
    car.write_bytes((folder("demo_workbooks") / "touring_coupe_both_axles.xlsx").read_bytes())
    for axle in ("front", "rear"):
        sheet = load_workbook(car)[f"Kit {axle}"]
        number = next(row[1].value for row in sheet.iter_rows() if row[0].value == "Kit number")
        done = receive(slip(tmp_path, f"{HEAD}{number},{axle} kit,1,\n", f"{axle}.csv"), "--jobs", jobs)
        assert f"the kit {number} {axle} kit: everything in its box" in done.stdout, done.output
        if axle == "front":
            job(jobs, "J-1", name="one.xlsx")
    assert "from the kit's box, for J-1" in done.stdout


def test_two_workbooks_of_one_job_are_refused(tmp_path: Path) -> None:
    """A copy in the folder would be booked too."""
    folder = tmp_path / "jobs"
    path = job(folder, "J-1", name="a.xlsx")
    (folder / "copy.xlsx").write_bytes(path.read_bytes())
    done = receive(slip(tmp_path, f"{HEAD}{HOSE},hose,3,\n"), "--jobs", folder)
    assert done.exit_code == 4
    assert "the same job" in done.stderr


@pytest.mark.parametrize(("days", "late"), [(-1, True), (30, False)])
def test_late_parts_are_named(tmp_path: Path, days: int, late: bool) -> None:
    """What is still to come when its day is past; a month is time enough for the hose's three days."""
    day = date.today() + timedelta(days=days)
    path = hill_climb(tmp_path, {"currency                EUR": f"currency  EUR\nneeded_by  {day}"})
    done = receive(path, slip(tmp_path, f"{HEAD}AT-18-3,adapter,2,\n"))
    hose = next(line for line in done.stdout.splitlines() if HOSE in line)
    assert (f"late: needed by {day}" in hose) is late


def ready(path: Path) -> Result:
    return CliRunner().invoke(main, ["ready", str(path)])


def test_ready_follows_what_came(tmp_path: Path) -> None:
    """1 and the first line while something is missing; 0 and "All here" at the end; the sheets say the same."""
    from bomcheck.paper.awaited import expected

    path = job(tmp_path)
    report = checked(path)
    begun = ready(path)
    assert begun.exit_code == 1
    assert "parts missing" in begun.stdout.splitlines()[0]
    count: dict[str, float] = {}
    for one in expected(report):
        count[one.part_number] = count.get(one.part_number, 0.0) + one.quantity
    count[HOSE] -= 1
    text = "".join(f"{number},,{quantity:g} pcs,\n" for number, quantity in count.items())
    receive(path, slip(tmp_path, HEAD + text))
    short = ready(path)
    assert short.exit_code == 1
    assert short.stdout.startswith("1 part missing, due ")
    assert "1 part missing" in CliRunner().invoke(main, ["check", str(path)]).stdout
    receive(path, slip(tmp_path, f"{HEAD}{HOSE},hose,1,\n", "last.csv"))
    done = ready(path)
    assert (done.exit_code, done.stdout.splitlines()[0]) == (0, "All here")
    said = CliRunner().invoke(main, ["check", str(path)]).stdout
    assert "All here." in said
    assert "To order" not in said
    book = load_workbook(path, data_only=True)
    first = [str(row[0].value) for row in book["Compatibility"].iter_rows(max_row=12)]
    assert "All here." in first[:3]
    assert "What to buy (0 lines)" in first
    assert "(to order)" not in " ".join(str(cell.value) for row in book["Fit-up and test"].iter_rows() for cell in row)
    states = [row[1].value for row in book["Parts list"].iter_rows(min_row=3)]
    assert "to order" not in states
    assert "here" in states


def test_ready_with_a_question_is_3(tmp_path: Path) -> None:
    """All here, but a size is open."""
    from dataclasses import replace

    from bomcheck.assess import assess
    from bomcheck.io.read.job import read_job
    from bomcheck.model.report import Question
    from bomcheck.paper.awaited import expected
    from bomcheck.paper.awaited import ready as judge

    found, _ = read_job(job(tmp_path))
    report = assess(found)
    total: dict[str, float] = {}
    for one in expected(report):
        total[one.line.key] = total.get(one.line.key, 0.0) + one.quantity
    own = {key: {"received": value} for key, value in total.items()}
    there = assess(replace(report.job, own=own))
    assert judge(there, None).status == 0
    asked = replace(there, questions=(Question("hub_pilot_diameter", "How wide is it?", "vernier", "", 1, (), 1),))
    assert judge(asked, None).status == 3
    assert judge(asked, None).said == "All here, but 1 thing is still to be measured or asked"


def everything(path: Path) -> dict[str, float]:
    """How many of each number must come."""
    from bomcheck.paper.awaited import expected

    count: dict[str, float] = {}
    for one in expected(checked(path)):
        count[one.part_number] = count.get(one.part_number, 0.0) + one.quantity
    return count


def test_ready_with_a_substitute_is_all_here(tmp_path: Path) -> None:
    """Both hoses came from another maker and were taken: 0, and nothing is said to be missing."""
    path = job(tmp_path)
    count = everything(path)
    other = f"HS-99,hose,{count.pop(HOSE):g} pcs,\n"
    text = slip(
        tmp_path, HEAD + other + "".join(f"{number},,{quantity:g} pcs,\n" for number, quantity in count.items())
    )
    assert receive(path, text, "--instead", f"{HOSE}=HS-99").exit_code == 0
    done = ready(path)
    assert (done.exit_code, done.stdout.splitlines()) == (0, ["All here"])


@pytest.mark.parametrize(
    ("lacks", "said"),
    [
        ({HOSE: 1.0}, "1 of 2 x braided hose, swivel nut, 430 mm [HS-BU-3-430], from the order"),
        ({"RK-HS22": 3.0}, "3 of 16 x "),
        ({"BF-4-1": 1.0}, "1 L of 2 L brake fluid"),
    ],
)
def test_ready_with_a_part_of_a_delivery_is_1(tmp_path: Path, lacks: dict[str, float], said: str) -> None:
    """One of two hoses, three of sixteen screws of the kit's own, one of two bottles: one part missing, and how many of it."""
    path = job(tmp_path)
    count = {number: quantity - lacks.get(number, 0.0) for number, quantity in everything(path).items()}
    units = {"BF-4-1": "L"}
    text = "".join(f"{number},,{quantity:g} {units.get(number, 'pcs')},\n" for number, quantity in count.items())
    assert receive(path, slip(tmp_path, HEAD + text)).exit_code == 1
    done = ready(path)
    assert done.exit_code == 1
    assert done.stdout.startswith("1 part missing")
    assert said in done.stdout.splitlines()[1], done.stdout


def test_ready_without_the_kits_box_is_1(tmp_path: Path) -> None:
    """All of the order came, nothing of the box: each of its lines is named; one line of the kit's own number, and all is here."""
    from bomcheck.paper.awaited import expected

    path = job(tmp_path)
    report = checked(path)
    ordered = [one for one in expected(report) if one.source == "the order"]
    boxed = {one.line.key for one in expected(report) if one.source != "the order" and one.line.status != "surplus"}
    text = "".join(
        f"{one.part_number},,{one.quantity:g} {one.line.unit if one.line.unit != 'each' else 'pcs'},\n"
        for one in ordered
    )
    receive(path, slip(tmp_path, HEAD + text))
    without = ready(path)
    assert without.exit_code == 1
    assert without.stdout.startswith(f"{len(boxed)} parts missing")
    assert len([line for line in without.stdout.splitlines() if "from the kit's box" in line]) >= len(boxed)
    receive(path, slip(tmp_path, f"{HEAD}{report.job.get('kit_number')},kit,1,\n", "kit.csv"))
    done = ready(path)
    assert (done.exit_code, done.stdout.splitlines()) == (0, ["All here"])
