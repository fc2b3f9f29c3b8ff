"""Several kits compared in one job: their sheets, which one is chosen, and what was typed for another one."""

import re
from collections.abc import Iterator, Mapping
from typing import Any

from bomcheck.io import layout
from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import Package
from bomcheck.io.read.found import Found
from bomcheck.io.read.own import MEASURE_PREFIX, TRY_PREFIX, Own, kept_from, over
from bomcheck.io.read.tables import PartLine
from bomcheck.model.errors import Fault, Place
from bomcheck.model.job import Job, Value
from bomcheck.model.records import replace
from bomcheck.paper.quote import QUOTE_PREFIX
from bomcheck.paper.tick_list import BENCH_PREFIX
from bomcheck.tables.fields import fields, plain

FIRST = layout.KITS[0]
COMPARE = "compare"
"""Kind of the sheet on which they stand side by side."""
FOLLOWS = "lists follow kit "
"""What a cell there says before the letter of the kit that all lists were written for."""
KIT_PRICE = f"{QUOTE_PREFIX}kit"
_OF_ANOTHER = re.compile(rf"(.*), kit ([{''.join(layout.KITS)}])", re.DOTALL)


def letters_of(tabs: Mapping[str, Any]) -> tuple[str, ...]:
    """The letters of the kits by the names of their sheets; none where the job has one kit."""
    found = {letter for name, (base, _, letter) in layout.KIT_SHEETS.items() if name in tabs and base == layout.KIT}
    return tuple(letter for letter in layout.KITS if letter in found or letter == FIRST) if found else ()


def further_kit(there: str) -> str:
    """What to do with a copy of one of our sheets."""
    copy = "othing to do if it is a copy of your own"
    if not there.startswith(layout.OF_KIT):
        return f"N{copy}"
    return f'Rename it to "{layout.kit_sheet(there, layout.KITS[1])}" to compare a further kit; n{copy}'


def stray_sheets(file: str, tabs: dict[str, str], axles: tuple[str, ...]) -> Iterator[Fault]:
    """Sheets of a further kit that belong to none, or to an axle without a kit: named, and dropped where they cannot count."""
    for name, (base, axle, letter) in layout.KIT_SHEETS.items():
        if name not in tabs:
            continue
        kit, box = (layout.kit_sheet(layout.axle_sheet(one, axle), letter) for one in layout.OF_KIT)
        first = layout.axle_sheet(layout.KIT, axle)
        if axles and not axle:
            instead = " or ".join(f'"{layout.kit_sheet(layout.axle_sheet(base, one), letter)}"' for one in axles)
            wrong = "this sheet was not read; it does not say for which axle the kit is"
            yield Fault("not allowed here", Place(file, tabs.pop(name)), name, wrong, f"Rename it to {instead}")
        elif first not in tabs:
            wrong = f'this sheet was not read; there is no "{first}" that it could be compared with'
            yield Fault("not allowed here", Place(file, tabs.pop(name)), name, wrong, f'Rename it to "{first}"')
        elif kit not in tabs:
            wrong = f'this box belongs to no kit: there is no "{kit}"'
            instead = f'Add "{kit}", a copy of "{first}", or take this sheet out'
            yield Fault("sheet missing", Place(file, tabs.pop(name)), name, wrong, instead)
        elif box not in tabs:
            wrong = f'there is no "{box}": nothing is counted as lying in the box of this kit'
            yield Fault("sheet missing", Place(file, tabs[name]), name, wrong, f'Add the sheet "{box}"', "", False)


def half_filled(
    forms: dict[str, Found], tables: dict[str, tuple[Found, list[PartLine]]], axles: tuple[str, ...]
) -> Iterator[Fault]:
    """An axle of which only half is filled in; an axle or a further kit without a word on its sheets is dropped, and named."""

    def blank(*names: str) -> bool:
        there = [forms[name] for name in names if name in forms]
        lines = [line for name in names if name in tables for line in tables[name][1]]
        return not any(found.values or found.rejected for found in there) and not lines

    for axle in axles if len(axles) > 1 else ():
        kit, box = (layout.axle_sheet(name, axle) for name in layout.OF_KIT)
        corners = [name for name in layout.AXLE_SHEETS[axle] if name not in (kit, box) and name in forms]
        if blank(*corners) and not blank(kit, box):
            empty, other = corners[0], box if blank(kit) else kit
        elif blank(kit) and not blank(*corners):
            empty, other = kit, corners[0]
        else:
            continue
        wrong = f'nothing is filled in here, but "{other}" is: the {axle} axle cannot be judged'
        instead = f'Fill it in, or take "{kit}" out if that axle gets no kit'
        yield Fault("part of it missing", Place(forms[empty].file, forms[empty].sheet), "", wrong, instead)
    groups = [(axle, layout.AXLE_SHEETS[axle], f"the {axle} axle stays as it is") for axle in axles]
    groups = groups if any(not blank(*names) for _, names, _ in groups) else []
    for axle, letter in ((axle, letter) for letter in layout.KITS[1:] for axle in ("", *layout.AXLES)):
        names = tuple(layout.kit_sheet(layout.axle_sheet(name, axle), letter) for name in layout.OF_KIT)
        groups += [(axle, names, "it is not compared")] if names[0] in forms else []
    for _, names, then in groups:
        if blank(*names):
            first = next(name for name in names if name in forms and name.startswith(layout.KIT))
            place = Place(forms[first].file, forms[first].sheet)
            yield Fault(
                "part of it missing", place, "", f"nothing is filled in here; {then}", "Nothing to do if so", "", False
            )
            for name in names:
                forms.pop(name, None)
                tables.pop(name, None)


def with_choice(kits: Mapping[str, Job], written: str) -> Job:
    """The chosen kit's job, the others beside it, with the faults of all. written: for which kit the lists were written."""
    first = next(iter(kits.values()))
    chosen, bad = _chosen(kits, first.values.get("chosen_kit"))
    faults = dict.fromkeys(fault for job in kits.values() for fault in job.faults)
    own = {letter: replace(job, own=own_of_kit(first.own, letter, written)) for letter, job in kits.items()}
    others = tuple(job for letter, job in own.items() if letter != chosen)
    return replace(own[chosen], faults=(*faults, *bad, *_without_number(kits)), kits=others)


def with_earlier(job: Job, earlier: Package) -> Job:
    """The job with the yellow entries of an earlier result over its own, those of each kit over the kit's."""
    later, written = kept_from(earlier), written_for(earlier)

    def of(one: Job) -> Job:
        return replace(one, own=over(one.own, own_of_kit(later, one.kit or FIRST, written)))

    return replace(of(job), kits=tuple(of(one) for one in job.kits))


def numbers_of(job: Job) -> tuple[str, ...]:
    """The numbers of the kit's boxes, that of the front axle first."""
    found = (one.get("kit_number") for one in job.each_axle)
    return tuple(dict.fromkeys(str(number) for number in found if number))


def _chosen(kits: Mapping[str, Job], typed: Value | None) -> tuple[str, tuple[Fault, ...]]:
    """The letter of the kit that is chosen, the first where that is not clear; and what is wrong with the choice."""
    names = {letter: f"{letter} ({', '.join(numbers_of(job)) or 'no number'})" for letter, job in kits.items()}
    listed = " or ".join(filter(None, (", ".join(list(names.values())[:-1]), list(names.values())[-1])))
    job = kits[FIRST]
    if typed is None:
        if "chosen_kit" in job.rejected or len(kits) == 1:
            return FIRST, ()
        wrong = f"{len(kits)} kits are compared and none is chosen; parts list, quote, fit-up and order follow kit A"
        return FIRST, (
            Fault("part of it missing", Place(job.source, layout.JOB), "", wrong, f"Type {listed} beside Kit to be sold", "chosen_kit", False),
        )  # fmt: skip
    found = _named(str(typed.value), kits)
    if len(found) == 1:
        return found[0], ()
    wrong = "no kit of this job has that letter or number"
    if found:
        wrong = f"this means more than one kit, {' and '.join(names[one] for one in found)}; only one can be sold"
    instead = f"Type the letter of one: {listed}"
    return FIRST, (Fault("entries disagree", typed.place, typed.typed, wrong, instead, "chosen_kit"),)


def _named(text: str, kits: Mapping[str, Job]) -> list[str]:
    """The letters of the kits that a text names: as a whole, else piece by piece."""
    pieces = [text, *re.split(r"[,;/&+]|\band\b", text)]
    for words in (pieces[:1], pieces[1:]):
        wanted = {one for text in words for one in (plain(text), plain(text).removeprefix("kit"))} - {""}
        found = [letter for letter, job in kits.items() if wanted & set(_names(letter, numbers_of(job)))]
        if found:
            return found
    return []


def _names(letter: str, numbers: tuple[str, ...]) -> Iterator[str]:
    whole = plain("".join(numbers))
    yield from (plain(letter), *map(plain, numbers), whole, plain(letter) + whole)


def _without_number(kits: Mapping[str, Job]) -> Iterator[Fault]:
    """Kits that are compared and have no number."""
    for letter, job in kits.items() if len(kits) > 1 else ():
        for one in job.each_axle:
            if "kit_number" not in one.values and "kit_number" not in one.rejected:
                name = layout.axle_sheet(layout.KIT, str(one.get("axle")) if len(job.each_axle) > 1 else "")
                place = Place(job.source, layout.kit_sheet(name, letter))
                wrong = f'this kit has no number; it is called "Kit {letter}"'
                yield Fault(
                    "part of it missing", place, "", wrong, "Type its number beside Kit number", "kit_number", False
                )


def written_for(package: Package) -> str:
    """The letter of the kit that the lists of an earlier run were written for."""
    sheet = marked_sheets(package).get(COMPARE)
    texts = (cell.text for cell in package.cells(sheet).values() if cell.kind == "text") if sheet else iter(())
    return next((text.removeprefix(FOLLOWS) for text in texts if text.startswith(FOLLOWS)), FIRST)


def owner_of(key: str, written: str) -> tuple[str, str]:
    """(an entry's own name, the letter of the kit for which it was typed)."""
    found = _OF_ANOTHER.fullmatch(key)
    return (found[1], found[2]) if found else (key, written)


def own_of_kit(own: Own, chosen: str, written: str) -> Own:
    """Entries of the chosen kit under their own names; those that were typed for another one are called after it.

    >>> own_of_kit({"hose @ line": {"received": 2.0}}, "B", "A")
    {'hose @ line, kit A': {'received': 2.0}}
    """
    found: dict[str, Mapping[str, Any]] = {}
    for key, typed in own.items():
        name, owner = owner_of(key, written)
        found[name if owner == chosen or _of_any_kit(name) else f"{name}, kit {owner}"] = typed
    return found


def _of_any_kit(key: str) -> bool:
    """Whether an entry holds whichever kit is chosen."""
    if key.startswith((MEASURE_PREFIX, TRY_PREFIX)):
        field = fields().get(key.split()[-1])
        return field is None or field.section != "kit"
    return key.startswith(BENCH_PREFIX) or (key.startswith(QUOTE_PREFIX) and key != KIT_PRICE)
