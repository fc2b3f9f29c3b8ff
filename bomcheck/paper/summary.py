"""The answer on a terminal: five seconds to read. Text only; nothing is printed here."""

from collections.abc import Iterator, Sequence
from datetime import date

from bomcheck.car.checks import BAD, word
from bomcheck.engine.makers_word import BASIS, NAME
from bomcheck.engine.questions import WHOM
from bomcheck.model.finding import Finding, Reason, Weight
from bomcheck.model.line import Line
from bomcheck.model.report import Question, Report
from bomcheck.model.verdict import Verdict
from bomcheck.paper.awaited import ORDER, expected, missing_words, ready
from bomcheck.paper.compare import advice, kits_of
from bomcheck.paper.fit_up import written_against
from bomcheck.paper.fit_up_words import other_pads
from bomcheck.paper.quote import kit_name
from bomcheck.supply.buying_words import buying_words
from bomcheck.tables import rows
from bomcheck.tables.fields import fields

MOST = 8  # lines of one kind before "and n more"
COUNTED = (Verdict.DOES_NOT_FIT, Verdict.NEEDS_MACHINING, Verdict.NOT_KNOWN, Verdict.FITS_WITH_PARTS, Verdict.FITS)
OF_SEVERAL = {
    Verdict.DOES_NOT_FIT: "do not fit", Verdict.NEEDS_MACHINING: "need machining", Verdict.FITS_WITH_PARTS: "fit with parts",
    Verdict.FITS: "fit", Verdict.DOES_NOT_APPLY: "do not apply",
}  # fmt: skip


def summary(report: Report, today: date | None = None) -> str:
    """Verdict, what decides it, what to order or, once something came, what is missing, what to measure."""
    here, buys = ready(report, today), report.verdict is not Verdict.DOES_NOT_FIT
    return "\n".join(
        [
            f"{_heading(report)}  {_who(report)}".rstrip(),
            _counts(report),
            *([f"{here.said}."] if here.begun else []),
            *_block("Kits compared", list(_kits(report, today))),
            *_block("Because", [line for finding in _deciding(report) for line in _because(finding)]),
            *_block("Also needed", list(_work(report))),
            *_block("Not good for the brakes as a whole", list(whole_car(report))),
            *_block("Not sure for the brakes as a whole, and not counted above", list(whole_car(report, sure=False))),
            *_block("Written at the bench, to put right before the car goes", list(written_against(report))),
            *_block("To order", list(_orders(report)) if buys else []),
            *_block(
                "Purchase", list(buying_words(report.buying, str(report.job.get("currency") or ""))) if buys else []
            ),
            *_block("To measure or look up", [_question(one) for one in report.questions]),
            f"\nNot looked at here: {'; '.join(not_looked_at(report))}.",
        ]
    )


def not_looked_at(report: Report) -> tuple[str, ...]:
    """What to look at on the car, as nothing is typed that would tell it; of each only once."""
    parts = report.axles or (report,)
    blank = {"", *(finding.check for one in parts for finding in one.findings if finding.reason is Reason.NOT_ENTERED)}
    blank |= {finding.check for finding in report.system}
    blank |= {"pads"} if "system" not in blank and any(map(other_pads, parts)) else set()
    axles = {"", *(str(one.job.get("axle")) for one in parts)}
    return tuple(row["look"] for row in rows("look_yourself") if row["check"] in blank and row["axle"] in axles)


def _kits(report: Report, today: date | None) -> Iterator[str]:
    """Each compared kit, and which to sell."""
    kits = kits_of(report, today)
    for one in kits:
        chosen = ", chosen: all below is of it" if one.chosen else ""
        total = f"{'at least ' if one.money.lacking else ''}{one.money.total:,.2f}"
        yield f"{one.name[:1].upper()}{one.name[1:]}: {one.report.verdict}, total {total}{chosen}"
    if kits:
        yield advice(kits).said


def _heading(report: Report) -> str:
    """The verdict; where it rests on the kit maker's list too, that and how much was measured."""
    by_list = sum(finding.basis == BASIS and finding.check != NAME for finding in report.findings)
    if not by_list or report.verdict not in (Verdict.FITS, Verdict.FITS_WITH_PARTS):
        return report.verdict.upper()
    of = sum(report.count(verdict) for verdict in COUNTED)
    return f"{report.verdict.upper()} BY THE MAKER'S LIST; by sizes so far: {of - by_list} of {of} checks."


def _who(report: Report) -> str:
    job = report.job
    names = [
        job.get("vehicle_label"),
        job.where if job.side else job.get("axle") and f"{job.get('axle')} axle{'s' if len(job.each_axle) > 1 else ''}",
        kit_name(job, ("kit_label",)),
    ]
    return ", ".join(str(name) for name in names if name)


def _counts(report: Report) -> str:
    if report.axles:
        return "\n".join(
            f"{one.job.where[:1].upper()}{one.job.where[1:]}: {one.verdict}. {_counts(one)}" for one in report.axles
        )
    return f"{sum(report.count(verdict) for verdict in COUNTED)} checks: {counted(report, COUNTED)}"


def counted(report: Report, verdicts: Sequence[Verdict]) -> str:
    """How many checks have each verdict: "1 does not fit, 2 not known, 20 fit"."""
    found = [(report.count(verdict), verdict) for verdict in verdicts]
    return ", ".join(f"{count} {verdict if count == 1 else OF_SEVERAL.get(verdict, verdict)}" for count, verdict in found if count)  # fmt: skip


def _block(title: str, lines: list[str]) -> Iterator[str]:
    if not lines:
        return
    yield f"\n{title}:"
    yield from (f"  {line}" for line in lines[:MOST])
    if len(lines) > MOST:
        yield f"  and {len(lines) - MOST} more, in the workbook"


def _deciding(report: Report) -> list[Finding]:
    """What decides; that one stack must serve all is said only where no single check says it."""
    single = [finding for finding in report.deciding if not finding.check.endswith("_together")]
    return single or list(report.deciding)


def _because(finding: Finding) -> Iterator[str]:
    """What was found, and what to do where something can be done; the size to measure has its own block."""
    known = finding.verdict is not Verdict.NOT_KNOWN
    do = f". {finding.do}" if finding.do and (known or finding.demands) else ""
    yield f"{finding.title}: {finding.said}{do}"
    yield from (f"  then {step}" for step in finding.chain)


def _work(report: Report) -> Iterator[str]:
    for finding in report.told:
        if finding.verdict in (Verdict.NEEDS_MACHINING, Verdict.FITS_WITH_PARTS) and finding not in report.deciding:
            yield from _because(finding)


def whole_car(report: Report, sure: bool = True) -> Iterator[str]:
    """What is not good of the car's brakes, and what to do; not sure: what may not be, as the sizes are typed."""
    for finding in report.system:
        may_fail = (
            finding.reason is Reason.STRADDLES and finding.weight is Weight.COUNTS and finding not in report.deciding
        )
        if (word(finding) == BAD and finding not in report.deciding) if sure else may_fail:
            yield f"{finding.title}: {finding.said}. {finding.do}".rstrip(". ")


def _orders(report: Report) -> Iterator[str]:
    things = {one.line.key: one for one in expected(report) if one.source == ORDER}
    for line in report.parts:
        if line.to_order and line.status in ("to order", "no source known", "ask") and not line.out_of:
            thing = things.get(line.key)
            if thing is not None and thing.came:
                yield from [missing_words(thing)] if thing.missing else []
                continue
            number = f" [{line.part_number}]" if line.part_number else ""
            note = "" if line.status == "to order" else f" ({line.status})"
            packs = _packs(line) if line.packs and line.pack_size != 1 else ""
            amount = line.to_order + line.shared if line.at_most is None else line.ordered
            named = f"{line.description or line.role}{number}"
            yield f"{amount:g} {'x' if line.unit == 'each' else line.unit} {named}{packs}{note}"


def _packs(line: Line) -> str:
    unit = "" if line.unit == "each" else f" {line.unit}"
    return f", {line.packs:g} pack{'' if line.packs == 1 else 's'} of {line.pack_size:g}{unit}"


def _question(one: Question) -> str:
    how_well = f" ({one.how_well})" if one.how_well else ""
    return f"{one.ask}{how_well}"


def measuring_page(report: Report) -> str:
    """The open questions as a page for the workshop, with lines to write on."""
    lines = [f"MEASURE NEXT  {_who(report)}".rstrip(), ""]
    if not report.questions:
        return "\n".join([*lines, "Nothing is left to measure."])
    whom = ""
    for number, one in enumerate(sorted(report.questions, key=lambda one: WHOM.index(one.whom)), 1):
        if one.whom != whom:
            whom = one.whom
            lines += [f"-- {whom.upper()}", ""]
        how_well = f", {one.how_well}" if one.how_well else ""
        lines += [
            f"{number}. {one.ask}",
            f"   With: {one.instrument}{how_well}{_type_in(report, one.key)}. Settles {one.settles} of the open checks: {'; '.join(one.checks)}.",
            "   Measured: ____________________   ± ________   by ____________",
            "",
        ]
    return "\n".join(lines)


def _type_in(report: Report, key: str) -> str:
    """The cell that is typed already, or the line of the sheet that is blank."""
    typed, field = report.job.values.get(key), fields().get(key)
    if typed is not None and typed.place.cell:
        return f"; type it in {typed.place.sheet} {typed.place.cell}"
    return f'; type it on {field.section.capitalize()}, "{field.label}"' if field is not None else ""
