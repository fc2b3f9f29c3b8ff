"""The Brake line sheet: the brake line joint by joint from the car to the caliper, or the joint that stays open."""

from collections.abc import Iterable

from bomcheck.io import layout as palette
from bomcheck.io.sheets.page import Book, Cell, Page, text
from bomcheck.io.sheets.words import jump, quantity, sentence
from bomcheck.model.types import LineEnd
from bomcheck.model.verdict import Verdict
from bomcheck.supply.line_arrangement import EACH_CORNER, AxleLines
from bomcheck.supply.line_chain import Answer, AskFirst, Closed, Open
from bomcheck.supply.line_ends import Need, Trap
from bomcheck.supply.line_question import called
from bomcheck.supply.line_words import Chain, Link, Step
from bomcheck.tables.fields import fields

NAME, KIND = "Brake line", "line"
HEADINGS = (
    "Joint, from the car", "State", "Thread and seat", "What seals", "Needs", "Wrench", "Part after the joint",
    "Comes from", "Price", "Lead time, days", "Rule from",
)  # fmt: skip
JOINT, STATE, ENDS, SEALS, NEEDS, WRENCH, PART, FROM, PRICE, DAYS, RULE = range(11)
WIDTHS = (21, 9, 20, 16, 21, 16, 19, 12, 10, 11, 23)
PRINTED = 8
SOURCES = {"box": "in the kit", "shelf": "on the shelf", "order": "to order"}
CLOSED, OPEN, ASK = "closed", "open", "to ask"
WIDE = 4  # columns that a sentence takes
LOOKS = {CLOSED: Verdict.FITS, OPEN: Verdict.DOES_NOT_FIT, ASK: Verdict.NOT_KNOWN}


def write_line(book: Book) -> None:
    """Adds the sheet."""
    page = Page(book, NAME, palette.ORANGE, WIDTHS, printed=PRINTED)
    page.head(NAME, f"{book.who}. Only equal threads and equal seats, a male in a female, are ever joined here.")
    _headings(page)
    solved = book.report.line
    if solved is None:
        _nothing_known(page)
    elif isinstance(solved, AxleLines):
        _axle(page, solved)
    else:
        _answer(page, "The line", solved)
    page.finish()


def _headings(page: Page) -> None:
    right = (PRICE, DAYS)
    cells = {
        column: Cell(words, ("heading", "heading right") if column in right else ("heading",))
        for column, words in enumerate(HEADINGS)
    }
    page.line(cells, least=24)
    page.keep_in_view()


def _nothing_known(page: Page) -> None:
    """Why nothing is planned, in one line, and what to ask."""
    known, job = fields(), page.book.report.job
    blank = [key for key in ("line_end", "caliper_inlet") if not isinstance(job.get(key), LineEnd)]
    names = " and ".join(f'"{known[key].label}"' for key in blank)
    page.group(f"No brake line is planned here yet: {names} {'are' if len(blank) > 1 else 'is'} blank")
    for key in blank:
        page.line(_row(known[key].label, ASK, {ENDS: text(known[key].question, span=WIDE)}))


def _axle(page: Page, lines: AxleLines) -> None:
    if lines.refused:
        page.group(sentence(lines.arrangement))
        page.line(_row("Not planned", ASK, {ENDS: text(sentence(lines.refused), span=WIDE)}))
    for title, answer in _by_side(page.book, lines):
        _answer(page, title, answer)
    if lines.tee is not None:
        page.line(
            _row(
                "Tee at the end of the hose",
                CLOSED,
                {PART: text(called(lines.tee)), FROM: text(SOURCES[lines.tee_source])},
            )
        )
    for need in lines.tubes:
        page.line(_row("Rigid tube", ASK, {NEEDS: text(_need_text(need)), SEALS: text(sentence(need.reason))}))
    for remark in lines.remarks:
        page.line({JOINT: text("Left to the fitter"), ENDS: text(remark, span=WIDE)})


def _by_side(book: Book, lines: AxleLines) -> list[tuple[str, Answer]]:
    """The answers with what they are for; equal corners are shown once."""
    if lines.arrangement != EACH_CORNER:
        return [(sentence(lines.arrangement), answer) for answer in lines.answers]
    side = book.report.job.get("corner_side")
    names = [side] if len(lines.answers) == 1 and side in ("left", "right") else ["left", "right"]
    if len(lines.answers) == 2 and lines.answers[0] == lines.answers[1]:
        return [("Left and right corner, the same", lines.answers[0])]
    return [(f"{sentence(name)} corner", answer) for name, answer in zip(names, lines.answers, strict=False)]


def _answer(page: Page, title: str, answer: Answer) -> None:
    if isinstance(answer, Closed):
        page.group(f"{title}: the line closes{_cost(answer.chain, page.book)}")
        _chain(page, answer.chain, CLOSED)
        _others(page, answer)
    elif isinstance(answer, AskFirst):
        page.group(f"{title}: ask first")
        for question in answer.questions:
            page.line(_row("Question", ASK, {ENDS: text(question, span=WIDE)}))
        if answer.possible is not None:
            page.line({JOINT: text("If the answers are good", "bold")})
            _chain(page, answer.possible, ASK)
    elif isinstance(answer, Open):
        page.group(f"{title}: the line stays open")
        _open(page, answer)
    _traps(page, answer.traps)


def _cost(chain: Chain, book: Book) -> str:
    currency = str(book.report.job.get("currency") or "")
    if not chain.to_order:
        return ", nothing to order"
    price = "price not known" if chain.price is None else f"{chain.price:.2f} {currency}".strip()
    days = "" if chain.lead_days is None else f", {chain.lead_days:g} day{'' if chain.lead_days == 1 else 's'}"
    return f", {price} a corner{days}"


def _chain(page: Page, chain: Chain, state: str) -> None:
    for step, link in zip(chain.steps, [*chain.links, None], strict=True):
        page.line(_step_cells(step, link, state))
    in_joints = {(need.role, need.spec) for step in chain.steps for need in step.joint.needs}
    for need in (one for one in chain.needs if (one.role, one.spec) not in in_joints):
        page.line({JOINT: text("Needs besides", "bold"), ENDS: text(f"{_need_text(need)}: {need.reason}", span=WIDE)})


def _step_cells(step: Step, link: Link | None, state: str) -> dict[int, Cell]:
    joint = step.joint
    needs = [*(_need_text(need) for need in joint.needs), f"sealant: {joint.sealant.replace(': ', ', ')}"]
    cells = {
        ENDS: Cell(step.end_before.name, ("cell",), more=((f"in {step.end_after.name}", ()),)),
        SEALS: text(sentence(joint.seals_on)),
        NEEDS: text("\n".join(sentence(one) for one in needs), "small"),
        WRENCH: text(sentence(joint.wrenches), "small"),
        RULE: text(sentence(joint.source), "quiet"),
        **(_part_cells(link) if link is not None else {PART: text("Caliper"), FROM: text("")}),
    }
    title = f"{step.number}. {sentence(step.before)} to {step.after}"
    return _row(title, state, cells)


def _part_cells(link: Link) -> dict[int, Cell]:
    part = link.part
    more = tuple(
        (one, ("quiet", "plain")) for one in (part.description if part.part_number else "", part.supplier) if one
    )
    bought = link.source == "order"
    place = part.place
    shown = jump(place.sheet, place.cell) if place.sheet and place.cell else ""
    return {
        PART: Cell(sentence(called(part)), ("cell", "bold"), more=more),
        FROM: Cell(SOURCES[link.source], ("cell", "link") if shown else ("cell",), link=shown),
        PRICE: Cell(part.unit_price if bought else None, ("cell", "money")),
        DAYS: Cell(part.lead_days if bought else None, ("cell", "right"), shown="0"),
    }


def _need_text(need: Need) -> str:
    once = ", new each time" if need.one_time and need.role in ("sealing washer", "O-ring") else ""
    return f"{quantity(need.quantity, need.unit)} x {need.role}, {need.spec}{once}"


def _others(page: Page, answer: Closed) -> None:
    """The next best chain, and one that answers might open."""
    if answer.alternative is not None:
        words = f"{sentence(str(answer.alternative))}: {answer.why_lost}"
        page.line({JOINT: text("Next best, and why it lost", "bold"), ENDS: text(words, span=WIDE)})
    elif answer.chain.to_order:
        page.line(
            {
                JOINT: text("Next best, and why it lost", "bold"),
                ENDS: text("None: nothing else in the lists closes this line", span=WIDE),
            }
        )
    if answer.maybe is not None:
        page.line(
            {JOINT: text("Better, if the answers are good", "bold"), ENDS: text(sentence(str(answer.maybe)), span=WIDE)}
        )
    for question in answer.questions:
        page.line(_row("Question", ASK, {ENDS: text(question, span=WIDE)}))


def _open(page: Page, answer: Open) -> None:
    page.line(_row("Open joint", OPEN, {ENDS: text(sentence(answer.open_joint), span=WIDE)}))
    if answer.missing is not None:
        said = answer.missing.said
        page.line({JOINT: text("This part is missing", "bold"), ENDS: text(sentence(said), "bold", span=WIDE)})
    page.line({JOINT: text("This hose would close it", "bold"), ENDS: text(answer.wanted, "bold", span=WIDE)})
    if answer.wanted_adapter:
        page.line({JOINT: text("This adapter would close it", "bold"), ENDS: text(answer.wanted_adapter, span=WIDE)})
    for reason in answer.reasons:
        page.line({JOINT: text("Passed over", "quiet"), ENDS: text(sentence(reason), span=WIDE)})


def _traps(page: Page, traps: Iterable[Trap]) -> None:
    """Parts of the box that can be screwed on where they must not be."""
    for trap in traps:
        reason = f"{trap.end.name} never on {trap.against.name}: {trap.reason}"
        more: dict[int, Cell] = {
            ENDS: text(reason, span=WIDE),
            PART: text(sentence(called(trap.part))),
            FROM: text(str(trap.part.place.sheet)),
        }
        page.line(_row("Never join", OPEN, more, "refused"))


def _row(title: str, state: str, cells: dict[int, Cell], word: str = "") -> dict[int, Cell]:
    """A full row: title, state in colour, the given cells, the rest empty."""
    return {JOINT: text(title, "bold"), STATE: Cell(word or state, (f"verdict {LOOKS[state]}", "top")), **cells}
