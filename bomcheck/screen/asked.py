"""What the screening command is told."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from bomcheck.screen.faults import refuse

FORMS = {".csv": "csv", ".jsonl": "json", ".xlsx": "block", ".parquet": "block"}


@dataclass
class Asked:
    """What the command was told. out: a file, or None for standard output. parts: None: where the pairs are few."""

    corners: Path
    kits: Path
    out: Path | None = None
    as_json: bool = False
    passers: bool = False
    parts: bool | None = None
    prices: Path | None = None
    scheduler: str = ""
    processes: int | None = None
    today: date | None = None

    @property
    def form(self) -> str:
        """The form in which answers are wanted: "csv", "json" or "block". Raises WorkbookError for a file of no such form."""
        if self.out is None:
            return "json" if self.as_json else "csv"
        form = FORMS.get(self.out.suffix.lower())
        if form is None:
            wrong = "the result cannot be written in this form"
            raise refuse("file", self.out.name, wrong, "Name it .xlsx, .csv, .jsonl or .parquet")
        return form
