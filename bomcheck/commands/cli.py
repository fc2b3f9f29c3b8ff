"""The commands; everything heavy is imported when it is needed."""

import gc
import sys
from pathlib import Path

import click

from bomcheck.commands.keep import keep, new_from
from bomcheck.commands.screen import screen
from bomcheck.commands.terminal import PATH, Verbs, note, say, say_json
from bomcheck.model.version import __version__


def run() -> None:
    """The command as it is installed. Short runs do without the garbage collector: it would cost more than it frees."""
    if sys.argv[1:2] in (["check"], ["measure"], ["explain"], ["fields"]):
        gc.disable()
    main()


@click.group(cls=Verbs, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="bomcheck")
def main() -> None:
    """Does this brake kit go on this corner, and what must be added, machined, measured and ordered first?

    Exit status: 0 fits, with or without parts; 1 does not fit or needs machining; 3 not known; 2 wrong use; 4 a workbook
    that cannot be read or written; 130 stopped with Ctrl-C.

    \b
    Example:
      bomcheck new job.xlsx          make a blank job workbook, fill it in, save it
      bomcheck check job.xlsx        the verdict here, Compatibility and Parts list in the workbook
    """


@main.command()
@click.argument("file", type=PATH)
@click.option("--inch", is_flag=True, help="Bare numbers in the workbook are inches.")
@click.option("--line-parts", is_flag=True, help="Fill the price list with generic line parts, prices invented.")
@click.option("--both", is_flag=True, help="For a car whose front and rear axle both get a kit.")
@click.option("--compare", type=click.IntRange(2, 6), help="Sheets for so many kits to be set side by side.")
@click.option("--corners", "kind", flag_value="corners", help="A table of many corners, for `bomcheck screen`.")
@click.option("--kits", "kind", flag_value="kits", help="A table of many kits, for `bomcheck screen`.")
@click.option("--from", "records", type=PATH, help="The shop's records; see `bomcheck keep`.")
@click.option("--kit", "kit", multiple=True, help="With --from: the kit's number; several, to compare them.")
@click.option("--car", default="", help="With --from: the car as the records call it.")
@click.option(
    "--axle", default="", type=click.Choice(["", "front", "rear"]), help="With --from: which axle of the car."
)
@click.option("--wheel", default="", help="With --from: the wheel as the records call it.")
def new(
    file: Path, inch: bool, line_parts: bool, both: bool, compare: int | None, kind: str | None, records: Path | None,
    kit: tuple[str, ...], car: str, axle: str, wheel: str,
) -> None:  # fmt: skip
    """Make a blank job workbook at FILE, or a blank table for `bomcheck screen`. Never overwrites.

    \b
    Example:
      bomcheck new which_kit.xlsx --compare 3
      bomcheck new our_kits.csv --kits
    """
    from bomcheck.io.disk import is_there
    from bomcheck.io.replace_file import write_new
    from bomcheck.model.shipped import folder

    if is_there(file):
        raise click.UsageError(f"{file} is there already; give a name that is not taken")
    if records is not None and both:
        raise click.UsageError("--from begins a job of one axle: begin one for each, or leave --from out")
    if records is not None:
        new_from(file, records, inch, kit, car=car, axle=axle, wheel=wheel)
        return
    if kit or car or axle or wheel:
        raise click.UsageError("--kit, --car, --axle and --wheel are looked up in the records: give these with --from")
    if kind is not None:
        from bomcheck.io.blank.screening import write_blank

        write_blank(file, kind, inch)
        say(f"{file} is ready. One row for each; the second row holds the units.")
        return
    if file.suffix.lower() != ".xlsx":
        raise click.UsageError(f"{file.name}: a job is a workbook; give it a name that ends in .xlsx")
    if both or compare:
        new_sheets(file, inch, line_parts, both, compare or 1)
        return
    name = f"job_{'inch' if inch else 'metric'}{'_with_line_parts' if line_parts else ''}.xlsx"
    write_new(file, (folder("templates_xlsx") / name).read_bytes())
    say(f"{file} is ready. Its first sheet tells how to fill it in.")


def new_sheets(file: Path, inch: bool, line_parts: bool, both: bool, compare: int) -> None:
    """A blank workbook with sheets for both axles, for several kits, or both."""
    from bomcheck.io import layout
    from bomcheck.io.blank.template import build_job_workbook, starter_rows

    system = "inch" if inch else "metric"
    axles: dict[str, dict[str, dict[str, object]]] = {"axles": {axle: {} for axle in layout.AXLES}} if both else {}
    kits = dict.fromkeys(layout.KITS[1:compare], axles)
    filled = {**axles, "kits": kits, "prices": starter_rows(system) if line_parts else []}
    build_job_workbook(system, filled, file)
    twice = "Corner, Kit and Box contents stand in it once for the front and once for the rear axle." if both else ""
    many = (
        f"Kit and Box contents stand in it for {compare} kits, A to {layout.KITS[compare - 1]}." if compare > 1 else ""
    )
    say(f"{file} is ready: {' '.join(filter(None, (twice, many)))}")


@main.command()
@click.argument("job", type=PATH)
@click.option("--out", type=PATH, help="Write the result to this copy and leave JOB as it is.")
@click.option("--json", "as_json", is_flag=True, help="Print the whole report as JSON; no workbook is written.")
@click.option("--backup", is_flag=True, help="Keep a copy of what the workbook was.")
@click.option("--prices-from", "prices", type=PATH, help="First add the price lines of this .csv or workbook to JOB.")
def check(job: Path, out: Path | None, as_json: bool, backup: bool, prices: Path | None) -> None:
    """Check the workbook JOB and write the sheets with the result into it.

    Nothing is written into JOB while one of its cells must be corrected first; --out still writes a copy. A copy takes
    the place of the result of an earlier check only, and keeps what was typed in its yellow columns.

    \b
    Example:
      bomcheck check job.xlsx
      bomcheck check job.xlsx --out quote.xlsx
      bomcheck check job.xlsx --prices-from supplier_a.csv
    """
    from bomcheck.commands.check import check_workbook

    if prices is not None:
        if out or as_json:
            raise click.UsageError("--prices-from writes into JOB: leave --out and --json out")
        from bomcheck.io.records.price_lines import add_prices

        added = add_prices(job, prices)
        note(added.said)
        say(f"{added.lines} price line{'' if added.lines == 1 else 's'} of {prices.name} added to {job.name}.")
    done = check_workbook(job, out=out, write=not as_json, backup=backup)
    note(done.remarks)
    if as_json:
        from bomcheck.paper.json_report import report_as_json

        say_json(report_as_json(done.report))
    else:
        say(done.text)
    sys.exit(done.status)


@main.command()
@click.argument("job", type=PATH)
def measure(job: Path) -> None:
    """Print what to measure next in the workbook JOB, as a page to fill in by hand.

    \b
    Example:
      bomcheck measure job.xlsx
    """
    from bomcheck.commands.check import check_workbook
    from bomcheck.paper.summary import measuring_page

    done = check_workbook(job, out=None, write=False, backup=False)
    note(done.remarks)
    say("\n\n".join(measuring_page(one) for one in done.report.axles or (done.report,)))


@main.command()
@click.argument("job", type=PATH)
def ask(job: Path) -> None:
    """Print the page for the telephone: what to ask the customer, what is sure, likely and open, price and day.

    Useful after a dozen answers where the kit is in the records (`bomcheck keep`, `bomcheck new --from`).

    \b
    Example:
      bomcheck new call.xlsx --kit BK-330 --from records.xlsx
      bomcheck ask call.xlsx
    """
    from datetime import date

    from bomcheck.commands.check import check_workbook
    from bomcheck.paper.phone import phone_page

    done = check_workbook(job, out=None, write=False, backup=False)
    note(done.remarks)
    say("\n\n".join(phone_page(one, date.today()) for one in done.report.axles or (done.report,)))


@main.command()
@click.argument("job", type=PATH)
@click.option("--into", required=True, type=PATH, help="A .csv, a new .xlsx, or your ordering spreadsheet.")
@click.option("--yes", is_flag=True, help="What goes into which column of your ordering file is right.")
@click.option("--sheet", default="", help="The sheet of your ordering spreadsheet to order into.")
def order(job: Path, into: Path, yes: bool, sheet: str) -> None:
    """Put what the workbook JOB must buy into an order file.

    A new .csv or .xlsx is made; into an ordering spreadsheet that is there the lines are added below the last one, once.
    What goes into which column is shown once for all ordering files of the shop, and nothing is written before it was said
    to be right. What cannot be ordered yet, or was ordered otherwise, is named. Exit status: 0 all that is needed is in the
    order; 3 something is not, or must be changed there; 4 a file that cannot be read or written.

    \b
    Example:
      bomcheck order job.xlsx --into shop_orders.xlsx --yes
      bomcheck order job.xlsx --into order.csv
    """
    from datetime import date

    from bomcheck.commands.order import order as place_order

    def confirm(said: list[str]) -> bool:
        if yes or not sys.stdin.isatty():
            return yes
        say("\n".join(said))
        return click.confirm("Is that right?")

    done = place_order(job, into, date.today(), confirm, sheet)
    note(done.remarks)
    say("\n".join(done.said))
    sys.exit(done.status)


@main.command()
@click.argument("files", nargs=-1, required=True, metavar="[JOB] SLIP", type=PATH)
@click.option("--jobs", type=PATH, metavar="FOLDER", help="Share SLIP out over all jobs of this folder.")
@click.option("--say", "counts", multiple=True, metavar='NUMBER="2 packs"', help="How many came, where that was asked.")
@click.option(
    "--instead", multiple=True, metavar="ORDERED=CAME", help="Take this number in the place of the one ordered."
)
@click.option("--refuse", multiple=True, metavar="NUMBER", help="Do not take what came under this number.")
@click.option("--another", is_flag=True, help="A further parcel, although a slip like this was booked before.")
def receive(
    files: tuple[Path, ...], jobs: Path | None, counts: tuple[str, ...], instead: tuple[str, ...], refuse: tuple[str, ...],
    another: bool,
) -> None:  # fmt: skip
    """Tick off in the workbook JOB what the packing slip SLIP, a .csv or .xlsx, says has come.

    What came goes into the column Received of the Parts list; what is short, wrong, late or unknown is named. A slip is
    booked once, whatever its file is called. Exit status: 0 all is there; 1 something is short or wrong; 3 something must be
    said first and nothing was booked; 4 a file that cannot be read or written.

    \b
    Example:
      bomcheck receive job.xlsx slip_supplier_a.csv
      bomcheck receive slip_supplier_a.csv --jobs open_jobs
    """
    from datetime import date

    from bomcheck.commands.receive import Answers, receive_into_folder, receive_slip

    if len(files) != (1 if jobs else 2):
        raise click.UsageError("give JOB and SLIP, or SLIP with --jobs FOLDER")
    ordered = _pairs(instead, "--instead", "ORDERED=CAME")
    said = Answers(
        _pairs(counts, "--say", "NUMBER=2"), {came: number for number, came in ordered.items()}, refuse, another
    )
    if jobs:
        done = receive_into_folder(jobs, files[0], date.today(), said)
    else:
        done = receive_slip(files[0], files[1], date.today(), said)
    note(done.remarks)
    say(done.text)
    sys.exit(done.status)


def _pairs(texts: tuple[str, ...], option: str, example: str) -> dict[str, str]:
    pairs = [text.partition("=") for text in texts]
    if any(not key.strip() or not value.strip() for key, _, value in pairs):
        raise click.UsageError(f"{option} takes two things with = between them, such as {example}")
    return {key.strip(): value.strip() for key, _, value in pairs}


@main.command()
@click.argument("job", type=PATH)
def ready(job: Path) -> None:
    """Tell whether everything for the workbook JOB is here.

    Exit status: 0 all here and no question open; 1 something is missing; 3 something must be measured or asked; 4 a
    workbook that cannot be read.

    \b
    Example:
      bomcheck ready job.xlsx
    """
    from datetime import date

    from bomcheck.assess import assess
    from bomcheck.io.read.job import read_job
    from bomcheck.io.read.own import require_sound
    from bomcheck.paper.awaited import ready as all_here

    read, package = read_job(job)
    require_sound(read, package)
    found = all_here(assess(read, date.today()), date.today())
    say("\n".join([found.said, *(f"  {line}" for line in found.lines)]))
    sys.exit(found.status)


@main.command()
@click.argument("text", required=False)
def fields(text: str | None) -> None:
    """List the fields of a job workbook, or those whose name or label contains TEXT.

    \b
    Example:
      bomcheck fields ear
    """
    from bomcheck.paper.manual import field_lines

    lines = field_lines(text or "")
    if not lines:
        raise click.UsageError(f'no field contains "{text}"; "bomcheck fields" lists them all')
    say("\n".join(lines))


@main.command()
@click.argument("name", required=False)
def explain(name: str | None) -> None:
    """Tell what the check NAME looks at, why, and what cures it. Without NAME: list all checks.

    \b
    Example:
      bomcheck explain pilot_fit
    """
    from bomcheck.paper.manual import check_lines, check_page

    if name is None:
        say("\n".join(check_lines()))
        return
    page = check_page(name)
    if page is None:
        raise click.UsageError(f'no check is called "{name}"; "bomcheck explain" lists them all')
    say(page)


main.add_command(screen)
main.add_command(keep)
