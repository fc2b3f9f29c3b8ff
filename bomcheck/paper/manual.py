"""Manual pages: of the fields, from the schemas; of the checks, from their docstrings."""

import ast
from collections.abc import Iterator
from difflib import get_close_matches
from doctest import DocTestParser
from textwrap import fill, indent

from bomcheck.car.checks import INTERFACE, CarCheck, car_checks, one_of
from bomcheck.engine.judge import label_of
from bomcheck.model.finding import Weight, limit_text, with_unit
from bomcheck.model.limits import house_limits
from bomcheck.model.rule import HEADINGS, Check
from bomcheck.rules import all_checks
from bomcheck.rules.derived import UNITLESS
from bomcheck.tables import page
from bomcheck.tables.fields import Field, fields


def field_lines(text: str) -> list[str]:
    """Two lines a field, under the heading of its group; only those that contain `text`."""
    wanted = text.casefold()
    lines: list[str] = []
    group = ""
    for field in fields().values():
        if wanted not in field.key.casefold() and wanted not in field.label.casefold():
            continue
        if field.group != group:
            group = field.group
            lines.append(f"{'' if not lines else chr(10)}{field.section.capitalize()}: {group}")
        lines.extend(_field(field))
    return lines


def _field(field: Field) -> Iterator[str]:
    facts = [field.unit] if field.unit not in ("", "-") else []
    facts += [f"usual ±{field.plus_minus:g}"] if field.plus_minus else []
    facts += [f"{field.low:g} to {field.high:g}"] if field.low is not None and field.high is not None else []
    facts += [", ".join(field.choices)] if field.choices else []
    yield f"  {field.label}  ({field.key}{'; ' if facts else ''}{'; '.join(facts)})"
    yield fill(field.help, 100, initial_indent="      ", subsequent_indent="      ")


def check_lines() -> list[str]:
    """One line a check, under its interface."""
    lines: list[str] = []
    interface = ""
    for check in all_checks().values():
        if check.interface != interface:
            interface = check.interface
            lines.append(f"{'' if not lines else chr(10)}{interface.replace('_', ' ').capitalize()}")
        lines.append(f"  {check.name:30} {check.title}")
    lines.append(f"\n{INTERFACE.capitalize()}")
    lines += [f"  {check.name:30} {check.plain_title}" for check in car_checks().values()]
    return lines


def check_page(name: str) -> str | None:
    """The manual page of one check, or of space; None for a name that is near none."""
    if name.strip().casefold() == "space":
        return space_page()
    checks: dict[str, Check | CarCheck] = {**all_checks(), **car_checks()}
    plain = name.strip().casefold().replace(" ", "_").replace("-", "_")
    if plain not in checks:
        titles = {check.plain_title.casefold().replace(" ", "_"): check.name for check in checks.values()}
        near = titles.get(plain) or one_of(plain) or next(iter(get_close_matches(plain, checks, 1, 0.7)), None)
        if near is None:
            return None
        plain = near
    check = checks[plain]
    if isinstance(check, CarCheck):
        return "\n".join([f"{check.plain_title} ({check.name})", "", *_car_sections(check)])
    sections = [f"{heading}:\n{indent(_section(check, heading), '  ')}" for heading in HEADINGS]
    return "\n".join([f"{check.title} ({check.name})", "", *sections, *_facts(check)])


def _car_sections(check: CarCheck) -> Iterator[str]:
    limit = house_limits()[check.limit] if check.limit else None
    parts = {
        "Must be true": check.must,
        "Why": check.why,
        "How it is worked out": check.formula,
        "What a failure means": _WEIGHTS[check.weight],
        "Remedy": check.do or "None of its own.",
        "Source": check.source or (limit.source if limit else ""),
    }
    yield from (f"{heading}:\n{indent(fill(text, 96), '  ')}" for heading, text in parts.items() if text)
    if limit is not None:
        yield f"Limit ({limit.title}):\n  {limit_text(limit)}"


_WEIGHTS = {
    Weight.COUNTS: "It counts in the verdict and in the exit status.",
    Weight.AGAINST: "It speaks against the kit and is told to the customer; the verdict does not count it.",
    Weight.LOOK: "It is something to look at; the verdict does not count it.",
}


def space_page() -> str:
    """The page on bodies in space: what it is, and each standing body with what it must clear."""
    lines = [page("space"), ""]
    for check in all_checks().values():
        if check.space is not None:
            airs = {pair.turning: house_limits()[pair.limit] for pair in check.space.body.pairs}
            lines.append(f"{check.title} ({check.name}):")
            lines += [f"  {turning}: {limit_text(limit)}" for turning, limit in airs.items()]
    return "\n".join(lines)


def _section(check: Check, heading: str) -> str:
    if heading == "Example":
        return "\n".join(fill(sentence, 96) for sentence in example(check))
    return fill(check.section(heading), 96)


def example(check: Check) -> list[str]:
    """The worked example of a check in sentences: what goes in by its labels, and what comes out.

    >>> from bomcheck.rules import all_checks
    >>> example(all_checks()["pilot_fit"])
    ['With hat bore 66.70 mm and hub pilot diameter 66.60 mm: 0.10 mm.']
    """
    told = []
    for one in DocTestParser().get_examples("\n".join(check.section_lines("Example"))):
        calls = [node for node in ast.walk(ast.parse(one.source)) if isinstance(node, ast.Call)]
        call = next((call for call in calls if ast.unparse(call.func) == check.name), None)
        if call is not None:
            sizes = [_size(key, value) for key, value in zip(check.parameters, call.args, strict=False)]
            given = " and ".join([text for text in (", ".join(sizes[:-1]), sizes[-1]) if text])
            told.append(f"With {given}: {_outcome(one.want.strip(), check)}.")
    return told or [check.section("Example")]


def _size(key: str, value: ast.expr) -> str:
    """ "hub pilot diameter 66.60 mm"; a notation is shown as a person types it."""
    if isinstance(value, ast.Call):
        value = value.args[0]
    typed = ast.literal_eval(value)
    field = fields().get(key)
    unit = field.unit if field is not None else "-" if key in UNITLESS else "mm"
    if isinstance(typed, tuple):
        return f"{label_of(key)} {'; '.join(map(str, typed))}"
    return f"{label_of(key)} {with_unit(typed, unit) if isinstance(typed, float) else typed}"


def _outcome(want: str, check: Check) -> str:
    """What the example comes to, with its unit."""
    if check.kind == "match":
        return {"True": "that is as it must be", "False": "that is not as it must be"}[want]
    return with_unit(float(want), check.unit)


def _facts(check: Check) -> Iterator[str]:
    names = [check.limit] if isinstance(check.limit, str) else list(check.limit.values())
    for name in names:
        if name:
            limit = house_limits()[name]
            yield f"Limit ({limit.title}):\n  {limit_text(limit)}"
    if check.when:
        yield "Applies where:"
        for key, allowed in check.when.items():
            yield f"  {fields()[key].label}: {' or '.join(allowed)}"
    yield f"Reads:\n  {', '.join(check.parameters)}"
