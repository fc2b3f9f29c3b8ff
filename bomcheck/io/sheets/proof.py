"""Proof: of every check the arithmetic with its numbers, found, least, most and margin as live formulas, and the cells read."""

from collections.abc import Mapping, Sequence
from math import ceil, inf

from bomcheck.io.sheets import words
from bomcheck.io.sheets.columns import columns_of
from bomcheck.io.sheets.looks import CELL_COLOURS
from bomcheck.io.sheets.page import HEADING_ROW, Book, Cell, Page, address, text
from bomcheck.io.sheets.sizes import COUNTS, COUNTS_HALF, LOST, MOVED, Sizes
from bomcheck.model.affine import NOISE
from bomcheck.model.finding import Finding
from bomcheck.model.limits import HOUSE, Limit
from bomcheck.model.line import half_up
from bomcheck.model.records import dataclass
from bomcheck.model.rule import STACKS
from bomcheck.model.verdict import Verdict, margin
from bomcheck.paper.live import NEAR, Form, Group, Live, Straight
from bomcheck.tables import page as page_text

NAME, KIND = "Proof", "proof"
PROOF = columns_of(NAME)
AGAIN, WITH_SHIMS, OTHER_SHIMS, FAILS = "check again", "fits with these shims", "other shims", "fails"
LIVE_WORDS = {AGAIN: "not known", WITH_SHIMS: "fits", OTHER_SHIMS: "not known", FAILS: "does not fit"}
COMMON = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Shown:
    """What the formulas of a check come to as the sheet is written; figures in the sheet's unit, None for none."""

    verdict: str
    found: float | None = None
    least: float | None = None
    most: float | None = None
    margin: float | None = None
    used: float | None = None


class Proof:
    """The rows of the sheet by check."""

    def __init__(self, book: Book, page: Page, live: Live, sizes: Sizes) -> None:
        self.book, self.page, self.live, self.sizes = book, page, live, sizes
        self.rows: dict[str, int] = {}
        self.shown: dict[str, Shown] = {}

    def at(self, check: str, name: str) -> str:
        """Address of a cell of a check's row, for other sheets."""
        tab = f"'{self.page.name}'" if " " in self.page.name else self.page.name
        return f"{tab}!{PROOF.at(name, self.rows[check])}"

    def write(self, findings: Sequence[Finding], idle: Sequence[Finding]) -> None:
        """idle: checks that do not apply, which stand below what is printed."""
        page = self.page
        unit = "inches" if self.book.system == "inch" else "mm"
        page.head(NAME, f"{self.book.who}. Sizes in {unit}.", PROOF.headings, PROOF.figures)
        for name in dict.fromkeys(finding.interface for finding in findings):
            page.group(words.interface_title(name))
            for finding in (one for one in findings if one.interface == name):
                self._row(finding)
        last = page.row - 1
        page.sheet.autofilter(HEADING_ROW, 0, max(last, HEADING_ROW), len(PROOF.widths) - 1)
        words_of = page_text("proof").format(common=COMMON, again=AGAIN, fails=FAILS, other=OTHER_SHIMS)
        page.across(words_of, "cell", "small", last=PROOF["read"])
        colour_words(page, f"{address(HEADING_ROW + 1, PROOF['verdict'])}:{address(last, PROOF['verdict'])}")
        page.finish()
        self._idle(idle)

    def _idle(self, idle: Sequence[Finding]) -> None:
        looks = ("small", "grey")
        if idle:
            self.page.row += 1
            self.page.group("Checks that do not apply here, not printed", ("grey", "bold"))
        for finding in idle:
            cells = {column: text("", *looks) for column in range(len(PROOF.widths))}
            cells |= {
                PROOF["check"]: text(finding.title, *looks),
                PROOF["verdict"]: Cell(str(finding.verdict), (f"verdict {finding.verdict}", "small", "top")),
                PROOF["known"]: text(words.sentence(finding.said), *looks),
            }
            self.page.line(cells, least=15)

    def _row(self, finding: Finding) -> None:
        form, row = self.live.forms.get(finding.check), self.page.row
        self.rows[finding.check] = row
        shown = self._shown(finding, form)
        self.shown[finding.check] = shown
        word = Cell(shown.verdict, (look_of(shown.verdict), "top"), self._verdict(finding, form, row))
        read = words.places(finding.reads, self.book.report.job)
        cells = {
            PROOF["check"]: text(finding.title, "bold"),
            PROOF["verdict"]: word,
            PROOF["known"]: Cell(
                finding.formula or words.sentence(finding.said), ("cell", "small"), more=_sources(finding)
            ),
            PROOF["read"]: text(words.places_text(read), "quiet"),
        }
        if read:  # programs do not wrap a link
            cells[PROOF["go"]] = Cell(" ".join(read[0]), ("cell", "small", "link"), link=words.jump(*read[0]))
        if finding.value is not None and finding.limit is not None:
            cells |= self._figures(finding, form, shown, row)
        elif not finding.formula:
            cells[PROOF["known"]] = Cell(words.sentence(finding.said), ("cell", "small"), more=_sources(finding))
        self.page.line(cells)

    def _figures(self, finding: Finding, form: Form | None, shown: Shown, row: int) -> dict[int, Cell]:
        assert finding.limit is not None
        unit, system = finding.unit, self.book.system
        look, form_of = ("cell", "right"), words.number_format(unit, system)
        formulas = self._formulas(finding, form, row) if form else {}
        ends = {"low": finding.limit.low, "high": finding.limit.high}
        values = {"found": shown.found, "least": shown.least, "most": shown.most, "margin": shown.margin}
        cells = {PROOF[key]: Cell(one, look, formulas.get(key, ""), shown=form_of) for key, one in values.items()}
        cells |= {
            PROOF[key]: Cell(None if end is None else words.in_unit(end, unit, system), look, shown=form_of)
            for key, end in ends.items()
        }
        if finding.with_stack is None:
            cells[PROOF["used"]] = Cell(shown.used, look, _used_formula(row), shown="0%")
        if form:
            cells[PROOF["raw"]] = Cell(
                self._raw(finding, form), ("cell", "small"), self._raw_formula(finding, form, row)
            )
        return cells

    def _formulas(self, finding: Finding, form: Form, row: int) -> dict[str, str]:
        factor = words.in_unit(1.0, finding.unit, self.book.system, difference=True)
        ends = {"found": form.middle, "least": form.low, "most": form.high}
        formulas = {key: f"={self._end(end, factor)}" for key, end in ends.items()}
        names = ("found", "found") if _as_stated(finding) else ("least", "most")
        (least, most), low, high = (PROOF.at(one, row) for one in names), PROOF.at("low", row), PROOF.at("high", row)
        assert finding.limit is not None
        rooms = [f"{least}-{low}"] if finding.limit.low is not None else []
        rooms += [f"{high}-{most}"] if finding.limit.high is not None else []
        if rooms:
            formulas["margin"] = f"=MIN({','.join(rooms)})"
        return formulas

    def _end(self, end: Sequence[Group], factor: float) -> str:
        groups = [_of("MAX", [self._straight(one) for one in group]) for group in end]
        joined = _of("MIN", list(dict.fromkeys(groups)))
        return joined if factor == 1.0 else f"({joined})*{factor:.15g}"

    def _straight(self, one: Straight) -> str:
        terms = [f"{one.const:.12g}"] if one.const or not one.of else []
        terms += [_term(slope, self.sizes.at(key, COUNTS)) for key, slope in one.of.items()]
        terms += [_term(slope, self.sizes.at(key, COUNTS_HALF)) for key, slope in one.spread.items()]
        return "".join(terms).removeprefix("+")

    def _shown(self, finding: Finding, form: Form | None) -> Shown:
        """What the cells come to, with all that is tried."""
        if finding.value is None or finding.limit is None:
            return Shown(self._unfollowed(finding))
        value, limit, unit, system = finding.value, finding.limit, finding.unit, self.book.system
        low, at, high = (value.low, value.middle, value.high) if form is None else self._ends(form)
        room = margin(at, at, limit) if _as_stated(finding) else margin(low, high, limit)
        used = _used(low, at, high, limit)
        tried = form is not None and self.sizes.moved(form.keys)
        word = str(finding.verdict) if not tried or form is None else self._raw(finding, form)
        if self._unfollowed(finding, form) == AGAIN:
            word = AGAIN
        low, at, high = (words.in_unit(one, unit, system) for one in (low, at, high))
        shown = None if abs(room) == inf else words.in_unit(room, unit, system, difference=True)
        return Shown(word, at, low, high, shown, used)

    def _unfollowed(self, finding: Finding, form: Form | None = None) -> str:
        """The run's verdict, unless a size is tried that the check reads and no formula follows."""
        watched = self.sizes.middle if self._by_all(finding, form) else _others(finding, form)
        return AGAIN if self.sizes.moved(watched) else str(finding.verdict)

    def _by_all(self, finding: Finding, form: Form | None) -> bool:
        """Whether any other size may count: in what all checks ask for together, or through a remedy."""
        return not finding.reads or (form is not None and any(self.live.sizes[key].changed for key in form.keys))

    def _ends(self, form: Form) -> tuple[float, float, float]:
        return form.ends(self.sizes.middle, self.sizes.half)

    def _raw(self, finding: Finding, form: Form) -> str:
        """The word by the figures alone."""
        assert finding.limit is not None
        low, _, high = self._ends(form)
        limit, stack = finding.limit, finding.with_stack is not None
        moved = sum(weight * self.sizes.shift(key) for key, weight in form.near)
        if (stack and not form.stack) or moved > NEAR:
            return AGAIN  # no stack is known that could be tried, or what was left out may decide
        if margin(low, high, limit) >= -NOISE:
            return WITH_SHIMS if stack else str(Verdict.FITS)
        if stack:
            return OTHER_SHIMS
        below = limit.low is not None and high < limit.low - NOISE
        above = limit.high is not None and low > limit.high + NOISE
        return FAILS if below or above else str(Verdict.NOT_KNOWN) if form.exact else AGAIN

    def _raw_formula(self, finding: Finding, form: Form, row: int) -> str:
        assert finding.limit is not None
        least, most, low, high = (PROOF.at(one, row) for one in ("least", "most", "low", "high"))
        limit, stack = finding.limit, finding.with_stack is not None
        good = [f"{least}>={low}-1E-9"] if limit.low is not None else []
        good += [f"{most}<={high}+1E-9"] if limit.high is not None else []
        bad = [f"{most}<{low}-1E-9"] if limit.low is not None else []
        bad += [f"{least}>{high}+1E-9"] if limit.high is not None else []
        fits = f"AND({','.join(good)})" if good else "TRUE"
        between = str(Verdict.NOT_KNOWN) if form.exact else AGAIN
        if stack and not form.stack:
            return f'="{AGAIN}"'
        if stack:
            return f'=IF({fits},"{WITH_SHIMS}","{OTHER_SHIMS}")'
        fails = f"OR({','.join(bad)})" if bad else "FALSE"
        word = f'IF({fits},"{Verdict.FITS}",IF({fails},"{FAILS}","{between}"))'
        moved = "+".join(f"{weight:.6g}*({self.sizes.shift_formula(key)})" for key, weight in form.near)
        return f'=IF({moved}>{NEAR:g},"{AGAIN}",{word})' if moved else f"={word}"

    def _verdict(self, finding: Finding, form: Form | None, row: int) -> str:
        """The run's verdict while nothing has moved; then the word by the figures, or that it must be checked again."""
        sizes, keys = self.sizes, form.keys if form else ()
        lost, others = [sizes.total(LOST)], _others(finding, form)
        if form is None and finding.value is not None:
            others += list(STACKS.values())
        lost.append(sizes.sum_of(dict.fromkeys(others), MOVED))
        if self._by_all(finding, form):
            lost.append(sizes.total(MOVED))
        again = "+".join(one for one in lost if one != "0") or "0"
        if form is None:
            return f'=IF({again}>0,"{AGAIN}","{finding.verdict}")'
        moved = sizes.sum_of(keys, MOVED)
        return f'=IF({again}>0,"{AGAIN}",IF({moved}=0,"{finding.verdict}",{PROOF.at("raw", row)}))'


def _others(finding: Finding, form: Form | None) -> list[str]:
    """What a check reads, or asks for, that no formula follows."""
    if form is None:
        return [*finding.reads, *finding.asks]
    return [key for key in (*finding.reads, *finding.asks, *form.behind) if key not in form.followed]


def _of(function: str, pieces: Sequence[str]) -> str:
    return pieces[0] if len(pieces) == 1 else f"{function}({','.join(pieces)})"


def _term(slope: float, at: str) -> str:
    sign = "-" if slope < 0 else "+"
    size = abs(slope)
    return f"{sign}{at}" if size == 1.0 else f"{sign}{size:.15g}*{at}"


def _as_stated(finding: Finding) -> bool:
    """Whether the margin is that of the sizes as stated, the shims taking up the rest."""
    return finding.with_stack is not None and finding.verdict in (Verdict.FITS, Verdict.FITS_WITH_PARTS)


def _sources(finding: Finding) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Who set the limit, and the sources that are more than common practice."""
    limit, told = finding.limit, []
    if limit is not None and limit.ruled_by != HOUSE:
        told.append(f"Limit {words.set_by(limit)}")
    sources = [finding.source, *([limit.source] if limit is not None else [])]
    told += [words.sentence(one) for one in dict.fromkeys(sources) if one and one.lower() != COMMON]
    return tuple((one, ("quiet",)) for one in told)


def _used(low: float, at: float, high: float, limit: Limit) -> float:
    """How much of the room to the nearer limit the ± takes up: 1.0 where it reaches the limit."""
    rooms = [(at - limit.low, at - low)] if limit.low is not None else []
    rooms += [(limit.high - at, high - at)] if limit.high is not None else []
    return max((reach / room if room > NOISE else float(reach > NOISE) for room, reach in rooms), default=0.0)


def _used_formula(row: int) -> str:
    """The same, live."""
    found, least, most, low, high = (PROOF.at(one, row) for one in ("found", "least", "most", "low", "high"))
    sides = (
        f"IF(ISNUMBER({low}),IF({found}-{low}>1E-9,({found}-{least})/({found}-{low}),IF({found}-{least}>1E-9,1,0)),0)",
        f"IF(ISNUMBER({high}),IF({high}-{found}>1E-9,({most}-{found})/({high}-{found}),IF({most}-{found}>1E-9,1,0)),0)",
    )
    return f"=MAX({','.join(sides)})"


def look_of(word: str) -> str:
    """The look of a verdict's word, those of changed sizes among them."""
    return f"verdict {LIVE_WORDS.get(word, word)}"


def colour_words(page: Page, area: str, more: Mapping[str, str] = LIVE_WORDS) -> None:
    """Colours the cells by the word that their formula gives. more: words that are no verdicts, with the verdict they are like."""
    words = {str(one): str(one) for one in Verdict if one is not Verdict.DOES_NOT_APPLY} | dict(more)
    for word, colour in words.items():
        fill, ink = CELL_COLOURS[colour]
        style = page.book.workbook.add_format({"bg_color": fill, "font_color": ink})
        page.sheet.conditional_format(area, {"type": "cell", "criteria": "==", "value": f'"{word}"', "format": style})


PLACES = 10
FULL, EMPTY = "█", "░"


def bar_text(proof: Proof, finding: Finding, shown: Shown) -> str:
    """How much of the room to the limit the ± takes up, drawn with ten blocks."""
    if finding.with_stack is not None:
        return "set with shims"
    if finding.check not in proof.live.forms:
        return "no bar"
    if shown.used is None or shown.margin is None:
        return ""
    filled = min(PLACES, ceil(round(shown.used * PLACES, 6)))
    if shown.margin >= -NOISE:
        return f"{FULL * filled}{EMPTY * (PLACES - filled)}"
    beyond, system = _beyond(finding, shown, proof.book.system), proof.book.system
    digits = 3 if system == "inch" and finding.unit == "mm" else 2
    return f"beyond by {half_up(round(beyond, 6), digits)}" if beyond > NOISE else f"{FULL * PLACES} over"


def _beyond(finding: Finding, shown: Shown, system: str) -> float:
    """How far the size as stated is beyond its limit."""
    assert finding.limit is not None
    assert shown.found is not None
    low, high = (
        None if one is None else words.in_unit(one, finding.unit, system)
        for one in (finding.limit.low, finding.limit.high)
    )
    return max(0.0 if low is None else low - shown.found, 0.0 if high is None else shown.found - high)


def bar_formula(proof: Proof, finding: Finding) -> str:
    """The same, live."""
    if finding.with_stack is not None or finding.check not in proof.live.forms or finding.limit is None:
        return ""
    digits = 3 if proof.book.system == "inch" and finding.unit == "mm" else 2
    at = {name: proof.at(finding.check, name) for name in ("found", "margin", "used", "low", "high")}
    past = [f"{at['low']}-{at['found']}"] if finding.limit.low is not None else []
    past += [f"{at['found']}-{at['high']}"] if finding.limit.high is not None else []
    if not past:
        return ""
    filled, most = f"MIN({PLACES},ROUNDUP(ROUND({at['used']}*{PLACES},6),0))", _of("MAX", past)
    beyond = f'IF({most}>1E-9,"beyond by "&FIXED(ROUND({most},6),{digits},TRUE),REPT("{FULL}",{PLACES})&" over")'
    return f'=IF({at["margin"]}<-1E-9,{beyond},REPT("{FULL}",{filled})&REPT("{EMPTY}",{PLACES}-{filled}))'


def must_be(finding: Finding, system: str) -> str:
    """The limit in words; "" where nothing is bounded."""
    limit = finding.limit
    if limit is None or (limit.low is None and limit.high is None):
        return ""
    return words.limit_words(limit, system)


def found_text(finding: Finding, system: str) -> str:
    """What was found, for a row without live figures."""
    if finding.value is None:
        return words.sentence(finding.said)
    return words.figure(finding.value.middle, finding.unit, system)
