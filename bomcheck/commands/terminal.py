"""What a terminal gets and how a command ends: the only place that prints, and that turns an error into an exit status.

Nothing that a file holds reaches a terminal as a command: control and direction characters are shown as what they are.
Where the output cannot hold a sign, a word for it or its number stands there, so that the verdict is always shown.
"""

import codecs
import json
import os
import re
import signal
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, NoReturn, TextIO

import click

from bomcheck.io.replace_file import written
from bomcheck.model.errors import BomcheckError

FITS, FAILS, USAGE, NOT_KNOWN, UNREADABLE, STOPPED = 0, 1, 2, 3, 4, 130
PATH = click.Path(path_type=Path, readable=False)
"""A file, whatever it is; what cannot be read is refused when it is read, with one line."""
MOST_REMARKS = 200
"""Remarks of one run that are printed; how many more there are is said."""
_UNSEEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\xad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
    "\ud800-\udfff\U000e0000-\U000e007f]"
)
_WORDS = {
    "±": "+/-", "·": ".", "×": "x", "–": "-", "—": "-", "−": "-", "’": "'", "‘": "'", "“": '"', "”": '"', "°": " deg ",
    "²": "^2", "³": "^3", "≤": "<=", "≥": ">=", "→": "->", "Ø": "dia. ", "µ": "u", "μ": "u", "…": "...", "\xa0": " ",
}  # fmt: skip


def clean(text: str) -> str:
    r"""The text without characters that steer a terminal or turn the writing round; line ends and tabs stay.

    >>> clean("J-7\x1b[2J\u202e1")
    'J-7\\x1b[2J\\u202e1'
    """
    return _UNSEEN.sub(lambda found: _numbered(found[0]), text)


def _numbered(sign: str) -> str:
    """A sign as its number, in the way of Python and JSON."""
    code = ord(sign)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def _in_words(error: UnicodeError) -> tuple[str, int]:
    """For signs that the output's encoding lacks: a word, or the number."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    signs = error.object[error.start : error.end]
    shown = "".join(_WORDS.get(one) or _numbered(one) for one in signs)
    return shown, error.end


codecs.register_error("bomcheck", _in_words)


def prepare() -> None:
    """Make both outputs take every text."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="bomcheck")


def say(text: str) -> None:
    """A line, or several, on standard output."""
    _put(clean(text) + "\n", sys.stdout)


def note(lines: Iterable[str]) -> None:
    """Remarks on standard error, a line each; beyond the bound only their number."""
    left = 0
    for number, line in enumerate(lines):
        if number < MOST_REMARKS:
            _put(clean(line) + "\n", sys.stderr)
        else:
            left += 1
    if left:
        _put(f"{left:,} more remarks of this kind are not shown; at most {MOST_REMARKS} are.\n", sys.stderr)


def say_json(report: Any) -> None:
    """A report for other programs: UTF-8, or where the output is anything else, ASCII with escapes."""
    text = json.dumps(report, ensure_ascii=not _takes_utf8(sys.stdout), indent=1)
    _put(_UNSEEN.sub(lambda found: json.dumps(found[0])[1:-1], text) + "\n", sys.stdout)


def table_writer() -> Callable[[str], object]:
    """Where the text of a table goes: to a terminal cleaned, to a file or another program as it is, in UTF-8."""
    stream = sys.stdout
    if stream is None or stream.isatty():
        return lambda text: _put(clean(text), stream)
    if not _takes_utf8(stream) and hasattr(stream, "reconfigure"):
        stream.reconfigure(encoding="utf-8")
    return lambda text: _put(text, stream)


def _takes_utf8(stream: TextIO | None) -> bool:
    try:
        return codecs.lookup(getattr(stream, "encoding", None) or "ascii").name == "utf-8"
    except LookupError:
        return False


def _put(text: str, stream: TextIO | None) -> None:
    """A reader that went away has seen enough; any other failure of the output is an error of its own."""
    if stream is None:
        return
    try:
        stream.write(text)
        stream.flush()
    except BrokenPipeError:
        _discard(stream)
    except OSError as error:
        _discard(stream)
        if stream is sys.stdout:
            raise OutputLost((error.strerror or str(error)).lower()) from None


def _discard(stream: TextIO) -> None:
    """Let what is left to be printed go nowhere, or the end of the program would trip over it."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, stream.fileno())
    except (OSError, ValueError):
        pass
    finally:
        os.close(nowhere)


class OutputLost(Exception):
    """What was to be printed could not be."""


class Verbs(click.Group):
    """Keeps every error to one line and a stated exit status; no traceback reaches a user."""

    def main(self, *args: Any, **more: Any) -> Any:
        """Standard output and error are made to take every text first."""
        prepare()
        return super().main(*args, **more)

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command."""
        written.clear()
        try:
            return super().invoke(ctx)
        except (click.exceptions.Exit, click.ClickException):
            raise
        except BaseException as error:
            if isinstance(error, SystemExit) or (isinstance(error, Exception) and os.environ.get("BOMCHECK_TRACEBACK")):
                raise
            _end(error)


def _end(error: BaseException) -> NoReturn:
    """Say what went wrong and leave with the status for it."""
    if isinstance(error, KeyboardInterrupt | click.Abort | EOFError):
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        note([f"bomcheck: stopped; {_what_was_written()}."])
        sys.exit(STOPPED)
    note(_lines(error))
    sys.exit(UNREADABLE)


def _lines(error: BaseException) -> list[str]:
    if isinstance(error, BomcheckError):
        return f"{error}{f' Only {_what_was_written()}.' if written else ''}".splitlines()
    if isinstance(error, OutputLost):
        return [f"bomcheck: the output could not be printed ({error}); {_what_was_written()}."]
    if isinstance(error, MemoryError):
        return [f"bomcheck: the memory of this computer is too small for it; {_what_was_written()}."]
    if isinstance(error, OSError):
        name = Path(os.fsdecode(error.filename)).name if isinstance(error.filename, str | bytes) else "file"
        said = (error.strerror or str(error)).lower()
        return [f"{name}: {said}. Check the path and its permissions; {_what_was_written()}."]
    what = f"{type(error).__name__}: {error}".splitlines()[0][:200]
    return [f"bomcheck: a fault of the program ({what}); {_what_was_written()}. Please report it."]


def _what_was_written() -> str:
    names = list(dict.fromkeys(written))
    return f"written before it: {', '.join(names)}" if names else "nothing was written"
