"""Text that people type, read into values.

Pure functions; each raises `bomcheck.model.errors.Unreadable` for what it cannot take, and returns None for a cell that says
nothing ("", "?", "TBC", "N/A", a lone dash).
"""

from bomcheck.model.types import BoltCircle, LineEnd, Pieces, Thread
from bomcheck.notation.bolt_circle import circle_name, read_bolt_circle, read_bolt_circles
from bomcheck.notation.dates import read_date, refuse_date
from bomcheck.notation.line_end import end_name, read_line_end
from bomcheck.notation.lists import read_bores, read_numbers, read_pair_sizes, read_pairs, read_shims
from bomcheck.notation.quantity import read_quantity, read_wheel_offset, show_length, show_number, without_about
from bomcheck.notation.text import is_blank, plain, read_choice, read_choices, read_count
from bomcheck.notation.thread import read_thread
from bomcheck.notation.thread_sizes import is_standard, look_alike, remark, stress_area

__all__ = [
    "BoltCircle", "LineEnd", "Pieces", "Thread", "circle_name", "end_name", "is_blank", "is_standard", "look_alike",
    "plain", "read_bolt_circle", "read_bolt_circles", "read_bores", "read_choice", "read_choices", "read_count",
    "read_date", "read_line_end", "read_numbers", "read_pair_sizes", "read_pairs", "read_quantity", "read_shims",
    "read_thread", "read_wheel_offset", "refuse_date", "remark", "show_length", "show_number", "stress_area",
    "without_about",
]  # fmt: skip
