"""The Compare sheet: the kits of one job side by side, what each comes to, and which to sell."""

from collections.abc import Sequence
from datetime import date

from bomcheck.io import layout as palette
from bomcheck.io.read.kits import COMPARE, FOLLOWS
from bomcheck.io.sheets.page import Book, Cell, Page, text
from bomcheck.io.sheets.words import jump
from bomcheck.paper.compare import Kit, advice, kits_of, rows
from bomcheck.paper.quote import kit_name

NAME, KIND = "Compare", COMPARE
FIRST, EACH, UPRIGHT = 19, 25, 3  # characters; kits beside one another on an upright page
SUBTITLE = (
    "One column a kit. Parts list, quote, fit-up and order follow the kit that is named on the Job sheet under Kit to be sold; "
    "what you typed in those lists counts for the kit that was chosen then."
)


def write_compare(book: Book) -> None:
    """Adds the sheet; nothing where the job has one kit."""
    kits = kits_of(book.report, date.fromisoformat(book.now) if book.now else None)
    if not kits:
        return
    told = advice(kits)
    widths = (FIRST, *(EACH for _ in kits), 3)
    page = Page(book, NAME, palette.ORANGE, widths, landscape=len(kits) > UPRIGHT, printed=len(kits) + 1)
    page.head(
        NAME, f"{book.who}. {SUBTITLE}", ("", *(f"Kit {one.letter}{', chosen' if one.chosen else ''}" for one in kits))
    )
    page.across(told.said, "cell", "bold", last=len(kits), least=30)
    page.line(_line("Kit", [kit_name(one.report.job) or "No number" for one in kits], "bold"))
    page.line({0: text("Verdict", "bold"), **{at: _verdict(one) for at, one in enumerate(kits, 1)}}, least=22)
    page.line({0: text("Chosen", "bold"), **{at: _chosen(one) for at, one in enumerate(kits, 1)}})
    for title, words in rows(kits):
        page.line(_line(title, words))
    _money(page, kits)
    page.put(
        len(kits) + 1, Cell(f"{FOLLOWS}{next(one.letter for one in kits if one.chosen)}", ("key",)), row=page.row - 1
    )
    page.finish()


def _line(title: str, words: Sequence[str], *looks: str) -> dict[int, Cell]:
    return {0: text(title, "bold"), **{at: text(one, *looks) for at, one in enumerate(words, 1)}}


def _verdict(kit: Kit) -> Cell:
    verdict = kit.report.verdict
    return Cell(verdict, (f"verdict {verdict}",))


def _chosen(kit: Kit) -> Cell:
    """Whether the lists follow it, with a link to the cell in which another one is chosen."""
    value = kit.report.job.values.get("chosen_kit")
    words = "no" if not kit.chosen else "yes, lists follow it" if value is not None else "none yet; lists follow A"
    at = (value.place.sheet, value.place.cell) if value is not None and value.place.cell else (palette.JOB, "A1")
    return Cell(words, ("cell", "link"), link=jump(*at), tip="Kit to be sold, on the Job sheet")


def _money(page: Page, kits: Sequence[Kit]) -> None:
    currency = str(kits[0].report.job.get("currency") or "")
    page.group(f"Price without tax{f', {currency}' if currency else ''}, as the Quote sums it up")
    figures = (
        ("Kit", [one.money.kit for one in kits]),
        ("Parts and freight", [one.money.parts for one in kits]),
        ("Labour and machining", [one.money.labour for one in kits]),
    )
    for title, amounts in figures:
        none = text("no price", "right", "quiet")
        shown = (none if one is None else Cell(one, ("cell", "money")) for one in amounts)
        page.line({0: text(title), **dict(enumerate(shown, 1))})
    totals = {at: Cell(one.money.total, ("cell", "total", "money")) for at, one in enumerate(kits, 1)}
    page.line({0: text("Total", "total"), **totals})
    lacking = [f"At least; no price yet: {', '.join(one.money.lacking)}" if one.money.lacking else "" for one in kits]
    page.line(_line("", lacking, "quiet"))
