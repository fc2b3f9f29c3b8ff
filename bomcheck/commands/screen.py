"""The command `bomcheck screen`; everything heavy is imported when it runs."""

import gc
import os
import sys
from pathlib import Path

import click

from bomcheck.commands.terminal import PATH, note, table_writer


@click.command()
@click.argument("corners", type=PATH)
@click.argument("kits", type=PATH)
@click.option("--out", type=PATH, help="Write the result to this file: .xlsx with a matrix, .csv, .jsonl or .parquet.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON, one line a pair, instead of CSV.")
@click.option("--passers", is_flag=True, help="Keep only what fits or fits with parts.")
@click.option(
    "--parts/--no-parts",
    default=None,
    help="Work out what must be added and its price; by default up to 100,000 pairs.",
)
@click.option("--prices", type=PATH, help="A job workbook whose price list gives the prices.")
@click.option("--processes", type=click.IntRange(1, 256), help="How many processes; by default one for each core.")
@click.option("--scheduler", default="", help="Address of a Dask scheduler to work on; needs the extra [cluster].")
def screen(
    corners: Path, kits: Path, out: Path | None, as_json: bool, passers: bool, parts: bool | None, prices: Path | None,
    processes: int | None, scheduler: str,
) -> None:  # fmt: skip
    """Which of the KITS fit which of the CORNERS: every pair, each corner's kits in order of merit.

    CORNERS and KITS are tables (workbook, CSV or Parquet, see bomcheck new --corners and --kits); a job workbook stands for
    its corners, or for its kits with their boxes; a sheet Box contents beside a table of kits for theirs. The same checks judge as in a single job. A row that cannot be read is named and left out.

    Units stand in the second row, in the heading's brackets or with the figure. Bare figures of a Parquet table without such a
    row are mm, N·m, MPa, kg, °C, m/s and m/s²; rim widths are inches.

    The result never takes the place of an input, nor of a file that is no result of a screening.

    Exit status: 0 something fits; 1 nothing does; 3 nothing does, but something is not known; 4 a row or file cannot be read.

    \b
    Example:
      bomcheck screen corners.csv kits.csv --out which_fits.xlsx
      bomcheck screen job.xlsx kits.csv --passers
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # no matrices here; its threads would be in the processes' way
    gc.disable()  # while so much is loaded, looking for garbage is time lost
    from bomcheck.screen.command import screen_command
    from bomcheck.screen.tables import Asked

    gc.enable()
    asked = Asked(corners, kits, out, as_json, passers, parts, prices, scheduler, processes)
    done = screen_command(asked, table_writer(), progress=sys.stderr.isatty())
    note(done.remarks)
    words = ("fit", "fit with parts", "are not known", "need machining", "do not fit")
    counted = [f"{count:,} {word}" for count, word in zip(done.counts, words, strict=True) if count]
    where = f" Result in {out}." if out else ""
    note([f"{done.pairs:,} pairs: {', '.join(counted) or 'none kept'}.{where}"])
    sys.exit(done.status)
