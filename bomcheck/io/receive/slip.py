"""Quantities and sides as suppliers write them on packing slips, and the sizes that a line's words name."""

import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from bomcheck.io.disk import mark_of, read_ordinary
from bomcheck.io.package import cells_by_row
from bomcheck.io.receive.said import BAD, GONE, HOLDS, LATER, PAPER, REST, SLIP
from bomcheck.io.refusal import refuse, too_large
from bomcheck.model.errors import WorkbookError
from bomcheck.model.records import dataclass, replace
from bomcheck.notation.text import decimal, says, short
from bomcheck.paper.awaited import PACK
from bomcheck.supply.part_sizes import side_in_words
from bomcheck.tables.fields import other_headings, plain

LEFT, RIGHT = ("left", "lh", "l", "lhs"), ("right", "rh", "r", "rhs")
SIDES = {**dict.fromkeys(LEFT, "left"), **dict.fromkeys(RIGHT, "right")}
NO_SIDE = ("", "either", "both", "none", "any", "na")
_QUANTITY = re.compile(r"([\d.,]+)(?:\s*[x×]?\s*([A-Za-z]*)\.?|(?:\s*[x×]\s*|\s+)(\S.*))")


def counted(text: str) -> tuple[float, str] | None:
    """(how many, of what) of "4", "2 pcs", "1,5 L"; None for what is no quantity, or a negative one.

    >>> counted("4"), counted("1,5 L"), counted("-1"), counted("two"), counted("1 pack of 10"), counted("2 or 3")
    ((4.0, ''), (1.5, 'L'), None, None, (1.0, 'pack of 10'), None)
    """
    found = _QUANTITY.fullmatch(text.strip())
    value = decimal(found[1]) if found else None
    if found is None or value is None or (found[3] and not PACK.fullmatch(found[3])):
        return None
    return value, found[2] or found[3] or ""


def side_of(column: str, words: str) -> str | None:
    """left, right or "" where neither is named; None for a side that is none. The column rules over the words.

    >>> side_of("LH", ""), side_of("", "caliper, right"), side_of("", "left or right"), side_of("up", "")
    ('left', 'right', '', None)
    """
    stated = plain(column)
    if stated not in NO_SIDE:
        return SIDES.get(stated)
    return side_in_words(words, letters=False)


TEXTS, BOOKS = (".csv", ".txt", ".tsv"), (".xlsx", ".xlsm")
HEADINGS_WITHIN = 40  # rows from the top
LARGEST = 20_000_000  # bytes
MOST_ROWS, MOST_COLUMNS = 5_000, 500
NAMES = other_headings("slip")
SENT = frozenset(plain(one) for one in NAMES["quantity"] if re.search("ship|deliver|sent|suppl|patch|liefer|livr", one))
RANKS = {key: {plain(words): rank for rank, words in reversed([*enumerate(names)])} for key, names in NAMES.items()}


@dataclass(frozen=True, slots=True)
class SlipLine:
    """row: where it stands, "row 4" or "Sheet1!A4". quantity: that came, in `unit`, "" where none is named. side: left, right
    or "". job: number of the job that it states; reference: what may be one. follows: what is sent later, in words. unsure: what must be asked of it. at: which
    line of the slip, from 0.
    """

    row: str
    part_number: str
    description: str
    quantity: float
    side: str = ""
    unit: str = ""
    thread: str = ""
    length: str = ""
    job: str = ""
    follows: str = ""
    unsure: str = ""
    reference: str = ""
    at: int = 0

    @property
    def name(self) -> str:
        """How the line is named in a sentence."""
        return " ".join(text for text in (self.part_number, self.description) if text)

    @property
    def said(self) -> str:
        """Everything that it says about the part."""
        return " ".join(text for text in (self.description, self.thread, self.length) if text)


@dataclass(frozen=True, slots=True)
class Slip:
    """mark: the same for the same lines and delivery note, in whatever kind of file. remarks: rows that are not used, and
    why. note: number of the delivery note, "" where the slip names none."""

    name: str
    mark: str
    lines: tuple[SlipLine, ...]
    remarks: tuple[str, ...] = ()
    note: str = ""


Rows = list[tuple[str, list[str]]]


@dataclass(frozen=True, slots=True)
class _Row:
    """A row below the headings: its cells by column, and the delivery note and job that it or the lines above it state. sent: whether
    its quantity is what was sent."""

    where: str
    got: Mapping[str, str]
    cells: list[str]
    note: str
    job: str
    sent: bool
    reference: str = ""


def read_slips(path: Path, answers: Mapping[str, str] | None = None) -> list[Slip]:
    """The slips in a file, one for each delivery note. answers: how many of what came, by part number, where that was asked.
    Raises WorkbookError, one line, where it cannot be read as a whole."""
    kind = path.suffix.lower()
    if kind not in (*TEXTS, *BOOKS):
        raise refuse("file", path.name, "a packing slip is read from .csv or .xlsx", "Save it as one of these")
    rows = rows_from_text(path) if kind in TEXTS else _from_book(path)
    notes: dict[str, list[_Row]] = {}
    for one in _below(rows, *_headings(path.name, rows)):
        notes.setdefault(plain(one.note), []).append(one)
    slips = [_slip(path.name, found, answers or {}) for found in notes.values()]
    if not any(one.lines for one in slips):
        wrong = "no line stands below the headings"
        raise refuse("nothing filled in", path.name, wrong, "Check that it is the right file")
    return [one for one in slips if one.lines or one.remarks]


def _below(rows: Rows, at: int, columns: Mapping[str, int]) -> Iterator[_Row]:
    """The rows below the first headings. Further delivery notes, jobs and headings may stand between them; what else stands between
    a delivery note and its own headings is no line."""
    note, job = _stated(rows[:at], _NOTE), _stated(rows[:at], _JOB)
    first = next((number for number in range(at) if _stated(rows[number : number + 1], _NOTE)), at)
    of_all, until, reference = _stated(rows[:first], _JOB), 0, _stated(rows[:at], _REFERENCE)
    sent = _is_sent(rows[at][1], columns)
    for number, (where, cells) in enumerate(rows[at + 1 :], at + 1):
        again, got = _columns(cells), {key: cells[n] if n < len(cells) else "" for key, n in columns.items()}
        if again:
            columns, sent = again, _is_sent(cells, again)
        elif stated := _between(cells, got["quantity"], _NOTE_ROW):
            job = job if plain(stated) == plain(note) else of_all
            note, until = stated, _head_ends(rows, number + 1, columns["quantity"])
        elif stated := _between(cells, got["quantity"], _JOB):
            job = stated
        elif number >= until:
            note = got.get("note") or note
            yield _Row(where, got, cells, note, got.get("job") or job, sent, reference)


def _is_sent(cells: Sequence[str], columns: Mapping[str, int]) -> bool:
    return plain(cells[columns["quantity"]].split("[")[0]) in SENT


def _between(cells: list[str], quantity: str, words: re.Pattern[str]) -> str:
    """The number that a row between the lines states, "" for a line that has a quantity."""
    stated = _stated([("", cells)], words)
    return stated if counted(quantity) is None or quantity == stated else ""


def _head_ends(rows: Rows, start: int, quantity: int) -> int:
    """Where the headings below a further delivery note stand; `start` where lines come first."""
    for number, (_, cells) in enumerate(rows[start:], start):
        if _columns(cells):
            return number
        if _stated([("", cells)], _NOTE_ROW) or (len(cells) > quantity and counted(cells[quantity])):
            break
    return start


def _slip(file: str, rows: Sequence[_Row], answers: Mapping[str, str]) -> Slip:
    """One delivery note's. With a number it is known by its lines in whatever order of rows and columns they stand."""
    remarks: list[str] = []
    note, found = rows[0].note, [(one, _line_of(file, one, remarks, answers)) for one in rows]
    jobs = [one.job for one in rows if not one.got.get("job")]
    said = [
        [plain(note), plain(jobs[0] if jobs else "")],
        *(_plain_row(one.got) for one in rows if any(one.got.values())),
    ]
    lines = [(one, line) for one, line in found if line]
    order = list(range(len(lines)))
    if note:
        order.sort(key=lambda at: _facts(lines[at][0]))
        said = [[plain(note)], *(_facts(lines[at][0]) for at in order)]
    made = tuple(replace(line, at=order.index(at)) for at, (_, line) in enumerate(lines))
    return Slip(file, mark_of(repr(said).encode()), made, tuple(remarks), note)


def _facts(row: _Row) -> list[str]:
    return sorted(_plain_row({**row.got, "note": "", "job": row.job}))


def _plain_row(got: Mapping[str, str]) -> list[str]:
    """What a row says, however numbers and spaces are written: "2.0" is "2"."""
    return [key + re.sub(r"(?<=\d)[.,]0+$", "", " ".join(text.split()).casefold()) for key, text in got.items() if text]


_NOTE = re.compile(
    r"\b(?:delivery|packing|dispatch|despatch|consignment|shipping|liefer)\s*(?:note|slip|list|docket|schein)?(?:\s*(?:no|nr|number))?\b[.:#\s]*(.*)",
    re.IGNORECASE,
)
_JOB = re.compile(r"\b(?:your\s+|for\s+)?job(?:\s*(?:no|nr|number))?\b[.:#\s]*(.*)", re.IGNORECASE)
_REFERENCE = re.compile(
    r"\b(?:(?:your|customer'?s?|ihre?|votre)\s+)?(?:purchase order|order|p\.?o|ref(?:erence)?|commission|kommission|project|projekt|contract|vertrag|bestellung|auftrag|commande)\b"
    r"(?:\s*(?:no|nr|number))?[.:#\s]*(.*)",
    re.IGNORECASE,
)


_NOTE_ROW = re.compile(_NOTE.pattern.replace("schein)?", "schein)").replace("(.*)", r"((?:\S*\d.*)?)"), re.IGNORECASE)
"""Between the lines of parts it must be said in full: "Delivery note 4712"."""


def _stated(head: Rows, words: re.Pattern[str]) -> str:
    """A number that the lines above the headings state, behind the words or in the next cell."""
    for _, cells in head:
        for at, text in enumerate(cells):
            found = words.match(text)
            after = found and (found[1] or next((one for one in cells[at + 1 :] if one), ""))
            if after and any(sign.isdigit() for sign in after):
                return " ".join(after.split())
    return ""


def rows_from_text(path: Path, what: str = "packing slip") -> Rows:
    data = read_ordinary(path, LARGEST, f"a {what}")
    if not data.strip():
        raise refuse("file", path.name, "the file is empty", "Check that it is the right file")
    if b"\0" in data and data[:2] not in (b"\xff\xfe", b"\xfe\xff"):
        raise refuse("file", path.name, "this is no text file", f"Save the {what} as CSV or .xlsx")
    text = _decoded(data)
    head = text[:4000]
    try:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=max(";,\t", key=head.count))
        lines = _within(path.name, reader, what)
    except csv.Error as error:
        raise refuse("damaged", path.name, f"this is no sound CSV ({error})", "Save it again as CSV") from None
    return [(f"row {number}", [cell.strip() for cell in line]) for number, line in enumerate(lines, 1)]


def _within(file: str, reader: Iterable[list[str]], what: str) -> list[list[str]]:
    """The rows, each no wider than a slip can be. Raises WorkbookError beyond the bounds."""
    lines: list[list[str]] = []
    for line in reader:
        if len(line) > MOST_COLUMNS:
            raise too_large(file, f"a row has more than {MOST_COLUMNS} columns", "Check that it is the right file")
        if len(lines) >= MOST_ROWS:
            raise _too_many(file, what)
        lines.append(line)
    return lines


def _too_many(file: str, what: str = "packing slip") -> WorkbookError:
    wrong = f"a {what} of at most {MOST_ROWS:,} rows is read, and this has more"
    return too_large(file, wrong, "Check that it is the right file, or divide it")


def _decoded(data: bytes) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")


def _from_book(path: Path) -> Rows:
    """The sheet that has the headings of a slip; two are asked about, as one may say again what the other says."""
    from bomcheck.io.package import open_package

    package = open_package(path)
    found: dict[str, Rows] = {}
    for sheet in (one for one in package.sheets if one.visibility == "visible"):
        grid = cells_by_row(package.cells(sheet.name))
        if len(grid) > MOST_ROWS:
            raise _too_many(path.name)
        rows = [
            (f"{sheet.name}!A{row}", [cells[n].text.strip() if n in cells else "" for n in range(1, max(cells) + 1)])
            for row, cells in sorted(grid.items())
        ]
        if not found or _heading_at(rows) is not None:
            found[sheet.name] = rows
    slips = [name for name, rows in found.items() if _heading_at(rows) is not None]
    if len(slips) > 1:
        wrong = f'its sheets "{slips[0]}" and "{slips[1]}" both have the headings of a packing slip'
        raise refuse("not one of the choices", path.name, wrong, "Save each as a file of its own")
    return found[slips[0]] if slips else next(iter(found.values()), [])


def _heading_at(rows: Rows) -> tuple[int, dict[str, int]] | None:
    found = ((at, _columns(cells)) for at, (_, cells) in enumerate(rows[:HEADINGS_WITHIN]))
    return next(((at, columns) for at, columns in found if columns), None)


def _columns(cells: Sequence[str]) -> dict[str, int]:
    """The place of each column in a row of headings, by the likeliest of them; none in another row."""
    columns, texts = dict[str, int](), [plain(text.split("[")[0]) for text in cells]
    for key in dict.fromkeys(("description", *RANKS)):  # "Item" is the number where another heading says description
        found = [(RANKS[key][text], at) for at, text in enumerate(texts) if text in RANKS[key]]
        free = [(rank, at) for rank, at in found if at not in columns.values()]
        columns |= {key: min(free)[1]} if free else {}
    columns = dict(sorted(columns.items(), key=lambda item: item[1]))
    return columns if "quantity" in columns and ("part_number" in columns or "description" in columns) else {}


def _headings(file: str, rows: Rows) -> tuple[int, dict[str, int]]:
    """Where the headings stand, and the columns. Raises WorkbookError for none, and for a paper that is no packing slip."""
    found = _heading_at(rows)
    above = " ".join(text for _, cells in rows[: found[0] if found else 0] for text in cells)
    if (paper := PAPER.search(above)) and not SLIP.search(above):
        wrong = f'above its headings it says "{paper[0]}", and what came is booked from a packing slip'
        raise refuse(
            "file", file, wrong, "Give the packing slip; if the parts did come with this paper, take that line out"
        )
    if found is None:
        wrong = "no row of headings was found"
        instead = "Head the columns Part number, Description, Quantity and, if it matters, Side"
        raise refuse("heading missing", file, wrong, instead)
    return found


def _line_of(file: str, row: _Row, remarks: list[str], answers: Mapping[str, str]) -> SlipLine | None:
    got, where = row.got, row.where
    number, words = got.get("part_number", ""), got.get("description", "")
    if plain(number or words).startswith("total") and not (number and words):
        return None
    typed = got["quantity"]
    if not (number or (words and typed)) or (number.count(" ") > 1 and not (words or typed)):
        if text := typed or words or number:
            wrong = "a quantity without a part" if typed else "no line of a part"
            remarks.append(f'{file}: {where}: "{short(text)}": {wrong}; the row is not used.')
        return None
    answer = answers.get(number) or answers.get(where) or answers.get(where.rpartition(" ")[2])
    return _line(file, where, {**got, "job": row.job, "reference": row.reference}, row.cells, row.sent, answer)


def _line(file: str, where: str, got: Mapping[str, str], cells: list[str], sent: bool, answer: str | None) -> SlipLine:
    number, words = got.get("part_number", ""), got.get("description", "")
    typed, later = got["quantity"], says(LATER, " | ".join(cells))
    in_cell = says(LATER, typed)
    unsure, count = "", counted(answer or typed)
    if answer is None and in_cell:
        count, unsure = _with_later(LATER.sub("", typed).strip(" ,;()+"), in_cell, sent)
    elif answer is None and count is not None and (later or (counted(got.get("follows", "")) or (0.0, ""))[0] > 0):
        unsure, count = _of_which(count, later, got.get("follows", ""), sent)
    if answer is None and count is not None and count[0] and (bad := says(BAD, " | ".join(cells))):
        unsure = f'how many of the {count[0]:g} came and are kept, as the slip says "{bad[1]}"'
    if count is None and not unsure:
        raise _no_quantity(file, where, typed, number or words)
    side = side_of(got.get("side", ""), words)
    if side is None:
        place = f"{file}: {where}"
        raise refuse("not one of the choices", place, "this is no side", "Type left or right", typed=got["side"])
    came, of = count or (0.0, "")
    stated = "" if says(LATER, got.get("unit", "")) else got.get("unit", "").strip()
    follows = later[0].strip() if later else f"{got['follows']} to follow" if got.get("follows", "").strip("0 ") else ""
    unit = of if answer and of else stated or of
    if PACK.fullmatch(unit.strip(" .")) and not re.search(r"\d", unit):
        held = HOLDS.search(words)
        holds = got.get("contents", "") or (held[1] or held[2] if held else "")
        unit = f"{unit} of {holds}" if holds else unit
    more = (got.get("thread", ""), got.get("length", ""), got.get("job", ""), follows, unsure, got.get("reference", ""))
    return SlipLine(where, number, words, came, side, unit, *more)


def _with_later(rest: str, found: re.Match[str], sent: bool) -> tuple[tuple[float, str] | None, str]:
    """(what came, what to ask) of a quantity such as "1 to follow" or "2, 1 to follow"."""
    count = counted(rest) if rest else None
    if count is None:
        return (0.0, ""), "" if not rest else f'"{rest}"'
    return (count, "") if sent or count[0] == 0 else (None, f"how many of the {count[0]:g} came, as {found[0]}")


def _of_which(
    count: tuple[float, str], later: re.Match[str] | None, follows: str, sent: bool
) -> tuple[str, tuple[float, str] | None]:
    """(what to ask, what came) of a quantity beside words such as "1 to follow" in another column."""
    quantity, unit = count
    said = counted(follows)
    number = said[0] if said and said[0] > 0 else float((later[1] or "0").replace(",", ".")) if later else 0.0
    if sent and later is not None and GONE.search(later[0]):
        return f'how many of the {quantity:g} came, as the slip says "{later[0].strip()}"', None
    if sent or number > quantity or (later is not None and REST.search(later.string)):
        return "", count
    if number in (0.0, quantity):
        return "", (0.0, unit)
    return f"how many of the {quantity:g} came, as {number:g} are to follow", None


def _no_quantity(file: str, where: str, typed: str, part: str) -> WorkbookError:
    wrong = f"the quantity of {part} is missing" if not typed else f"this is no quantity that can have come of {part}"
    return refuse("unreadable text", f"{file}: {where}", wrong, "Type how many came, 0 for none", typed=typed)
