"""Standards data as text files beside this module.

Each file opens with lines that begin with "# ": what it holds, which standard and edition, what each column means. Then
comes one line of column names and one line per row, columns divided by tabs. Nothing here is code.
"""

from functools import cache
from pathlib import Path

FOLDER = Path(__file__).parent


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of `<name>.txt` in file order, each {column: text}; an empty cell is ""."""
    text = (FOLDER / f"{name}.txt").read_text(encoding="utf-8")
    lines = [line.split("\t") for line in text.splitlines() if line.strip() and not _is_head(line)]
    heads = lines[0]
    return tuple(dict(zip(heads, line + [""] * len(heads), strict=False)) for line in lines[1:])


def head(name: str) -> str:
    """The explanation at the top of `<name>.txt`, without the "#" marks."""
    text = (FOLDER / f"{name}.txt").read_text(encoding="utf-8")
    return "\n".join(line[1:].strip() for line in text.splitlines() if _is_head(line))


@cache
def sections(name: str) -> dict[str, dict[str, str]]:
    """The sections of `<name>.txt`: {section: {word: text}}; a word that comes again goes on with its text."""
    found: dict[str, dict[str, str]] = {}
    for section, body in split_sections((FOLDER / f"{name}.txt").read_text(encoding="utf-8")).items():
        words = found[section] = {}
        for line in filter(str.strip, body.splitlines()):
            word, text = line.split(maxsplit=1)
            words[word] = f"{words[word]} {text.strip()}" if word in words else text.strip()
    return found


@cache
def texts(name: str) -> dict[str, tuple[str, ...]]:
    """The sections of `<name>.txt`, each as its lines."""
    body = (FOLDER / f"{name}.txt").read_text(encoding="utf-8")
    return {section: tuple(lines.splitlines()) for section, lines in split_sections(body).items()}


def page(name: str) -> str:
    """A section of `texts.txt` as one text."""
    return "\n".join(texts("texts")[name])


def split_sections(text: str) -> dict[str, str]:
    """{name: lines below it} of a text with lines "[name]"; remarks, and what stands before the first, are left out.

    >>> split_sections("# a remark\\n[one]\\na 1\\nb 2\\n[two]\\n")
    {'one': 'a 1\\nb 2\\n', 'two': ''}
    """
    found: dict[str, str] = {}
    name = ""
    for line in text.splitlines(keepends=True):
        if line.startswith("[") and line.rstrip().endswith("]"):
            name = line.strip()[1:-1]
            found[name] = ""
        elif name and not line.startswith("#"):
            found[name] += line
    return found


def _is_head(line: str) -> bool:
    """Whether the line belongs to the explanation; "#10" is a size of screw, not a mark."""
    return line.startswith("# ") or line.rstrip() == "#"
