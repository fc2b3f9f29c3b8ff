"""Job workbooks with one thing wrong each: a builder of a few lines, and what the reader has to say of it.

    python -m tests.faulty FOLDER

writes them all into a folder to be looked at. The whole lines stand in `lines.py`.
"""

from tests.faulty import bad_files, bad_labels, bad_pairs, bad_tables, bad_values
from tests.faulty.faulty_job import FAULTY, Faulty, Made, cell_of, sheet_of

__all__ = [
    "FAULTY",
    "Faulty",
    "Made",
    "bad_files",
    "bad_labels",
    "bad_pairs",
    "bad_tables",
    "bad_values",
    "cell_of",
    "sheet_of",
]
