"""The Measure next sheet: every open question once, with room to write down what was found."""

from bomcheck.engine.questions import WHOM
from bomcheck.io import layout
from bomcheck.io import layout as palette
from bomcheck.io.blank.forms import plus_minus_text
from bomcheck.io.read.own import MEASURE_PREFIX
from bomcheck.io.sheets.columns import columns_of
from bomcheck.io.sheets.page import HEADING_ROW, Book, Cell, Page, text
from bomcheck.io.sheets.words import jump, label, sentence
from bomcheck.model.report import Question
from bomcheck.tables import page as page_text
from bomcheck.tables.fields import fields

NAME, KIND = "Measure next", "measure"
COLUMNS = columns_of(NAME)
EFFORTS = {1: "look", 2: "measure", 3: "special gauge", 4: "take apart"}


def write_measure_next(book: Book) -> None:
    """Adds the sheet."""
    page = Page(book, NAME, palette.YELLOW, COLUMNS.widths, landscape=False, printed=COLUMNS.printed)
    page.head(NAME, f"{book.who}. {page_text('measure next')}", COLUMNS.headings, COLUMNS.figures)
    whom = ""
    for number, question in enumerate(sorted(book.report.questions, key=lambda one: WHOM.index(one.whom)), start=1):
        if question.whom != whom:
            whom = question.whom
            page.group(sentence(whom))
        page.line(_cells(book, number, question), least=30)
    if not book.report.questions:
        page.line(
            COLUMNS.row(
                what=text("Nothing", "bold"),
                ask="No question on the fit is open. What the brakes as a whole still ask stands on the sheet Whole car.",
            )
        )
    else:
        page.sheet.autofilter(HEADING_ROW, 0, page.row - 1, COLUMNS["checks"])
    _answered(page)
    page.finish()


def _answered(page: Page) -> None:
    """What was written down for questions that are open no longer."""
    asked = {_key(page.book, question.key) for question in page.book.report.questions}
    done = [key for key in page.book.kept if key not in asked and _is_of(page.book, key)]
    if not done:
        return
    page.group("Written down earlier, no longer asked")
    for key in done:
        field = key.removeprefix(MEASURE_PREFIX).removeprefix(f"{page.book.axle} ")
        where = _where(page.book, field)
        page.line(COLUMNS.row(what=text(label(field), "quiet"), **_typed(page.book, key), type_in=where, key=key))


def _key(book: Book, field: str) -> str:
    """The name of the line in which a field is written down; of a car with two kits with the axle that it is of."""
    return f"{MEASURE_PREFIX}{book.axle} {field}" if book.axle else f"{MEASURE_PREFIX}{field}"


def _is_of(book: Book, key: str) -> bool:
    """Whether it was written down here, or for both corners of this one's axle when they were judged as one."""
    own = _key(book, "")
    whole = own.removesuffix(" ").removesuffix("left").removesuffix("right") if book.report.job.side else own
    return key.startswith(own) or (key.startswith(whole) and " " not in key.removeprefix(whole).split(",")[0])


def _cells(book: Book, number: int, question: Question) -> dict[int, Cell]:
    key, where = _key(book, question.key), _where(book, question.key)
    at = ((str(where.value), ("quiet", "plain")),) if where.value else ()
    return COLUMNS.row(
        what=Cell(f"{number}. {label(question.key)}", ("cell", "bold"), more=at),
        ask=question.ask,
        **{"with": sentence(question.instrument)},
        well=_how_well(book, question),
        settles=question.settles,
        **_typed(book, key),
        type_in=where,
        effort=EFFORTS.get(question.effort, ""),
        checks=text("\n".join(question.checks), "quiet"),
        key=key,
    )


def _how_well(book: Book, question: Question) -> str:
    """The ± that settles, or that of the field's instrument; "" for what is exact by its nature."""
    field = fields().get(question.key)
    usual = f"usual ±{plus_minus_text(field, book.system)}" if field and field.takes_plus_minus else ""
    return question.how_well or usual


def _typed(book: Book, key: str) -> dict[str, Cell | str | float | None]:
    """What was written down, as it was; a figure stands like a text, so that it is read beside its ±."""
    kept = book.kept.get(key, {})
    values = {column.name: kept.get(column.name) for column in COLUMNS.typed}
    return {
        name: Cell(value if isinstance(value, int | float | str) else None, ("input",))
        for name, value in values.items()
    }


def _where(book: Book, key: str) -> Cell:
    """A link to the cell that was typed, or is blank; to the sheet where the blank one's row is not certain."""
    job = book.report.job
    value, held = job.values.get(key), job.rejected.get(key)
    place = value.place if value is not None else held.place if held is not None else job.blank.get(key)
    if place is not None and place.sheet and place.cell:
        return Cell(f"{place.sheet} {place.cell}", ("cell", "link"), link=jump(place.sheet, place.cell))
    sheet = _sheet_of(book, key)
    return Cell(sheet, ("cell", "link"), link=jump(sheet)) if sheet else text("")


def _sheet_of(book: Book, key: str) -> str:
    """The sheet on which the other fields of the same section stand."""
    known = fields()
    if key not in known:
        return ""
    section = known[key].section
    for other, value in book.report.job.values.items():
        if other in known and known[other].section == section and value.place.sheet:
            return value.place.sheet
    return next((name for name, one in layout.FIELD_SHEETS.items() if one == section), "")
