"""The commands that file what a job knows, and begin a job from it."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from bomcheck.commands.terminal import PATH, note, say
from bomcheck.model.records import replace

if TYPE_CHECKING:
    from bomcheck.model.job import Job


@click.command()
@click.argument("job", type=PATH)
@click.option("--in", "records", required=True, type=PATH, help="The shop's records, an .xlsx.")
def keep(job: Path, records: Path) -> None:
    """File what the workbook JOB knows in the shop's records: kit with its box, corner, wheel, prices.

    Two measurements of one size are joined where they agree; where they do not, both are shown and the older is kept.
    Filing a job twice changes nothing.

    \b
    Example:
      bomcheck keep job.xlsx --in records.xlsx
      bomcheck new next.xlsx --kit BK-330 --car "Saloon, blue" --axle front --from records.xlsx
    """
    from datetime import date

    from bomcheck.io.read.job import read_job
    from bomcheck.io.records.keep import keep as file_away

    read = read_job(job)[0]
    jobs = [one for job in (read, *read.kits) for one in job.axles or (job,)]
    done = [file_away(_called(one), records, date.today()) for one in jobs]
    note(tuple(dict.fromkeys(line for one in done for line in one.said)))
    added, changed = sum(one.added for one in done), sum(one.changed for one in done)
    if added or changed:
        say(f"{records.name}: {added} rows added, {changed} changed.")
    else:
        say(f"{records.name} holds all of this already.")


def _called(job: "Job") -> "Job":
    """A corner that differs from the other one is filed under the car's name with its side."""
    name = job.values.get("vehicle_label")
    if not job.side or name is None:
        return job
    return replace(job, values={**job.values, "vehicle_label": replace(name, value=f"{name.value}, {job.side}")})


def new_from(file: Path, records: Path, inch: bool, kits: tuple[str, ...], **chosen: str) -> None:
    """Writes a job workbook at `file` with what the records hold. kits: by number, none for none; with several they stand side
    by side. chosen: car, axle, wheel by name, "" for none."""
    from io import BytesIO

    from bomcheck.io import layout
    from bomcheck.io.blank.template import build_job_workbook
    from bomcheck.io.records.start import filled_from
    from bomcheck.io.replace_file import write_new

    if inch:
        raise click.UsageError("--from makes a metric workbook: the records are metric. Leave --inch out")
    if len(kits) > len(layout.KITS):
        raise click.UsageError(f"at most {len(layout.KITS)} kits are compared in one job")
    made, first = BytesIO(), "".join(kits[:1])
    others = {letter: filled_from(records, kit=kit) for letter, kit in zip(layout.KITS[1:], kits[1:], strict=False)}
    further = {letter: {key: own[key] for key in ("kit", "plus_minus", "box")} for letter, own in others.items()}
    build_job_workbook("metric", {**filled_from(records, kit=first, **chosen), "kits": further}, made)
    write_new(file, made.getvalue())
    say(f"{file} is ready, filled in from {records.name}. Check it against the parts.")
