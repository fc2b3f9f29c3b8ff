"""The words round a thread: noise, series, pipe; and texts that are no thread to be read here."""

import re

from bomcheck.notation.clean import refuse

TYPE = "Type diameter and pitch, for example M12x1.5 or 1/2-20"
PIPE = re.compile(r"\b(?:nptf?|npt thread|pipe|taper pipe)\b|(?<=\d)nptf?\b")
SERIES = re.compile(r"\b(extra[ -]fine|fine|coarse|unj?ef|unr?j?f|unr?j?c|uns?)\b|(?<=\d)(unef|unf|unc|un)\b")
_NOISE = re.compile(
    r"\b(?:threads?|thd|tpi|right[ -]hand|rh|metric|wheel|lugs?|studs?|bolts?|screws?|nuts?|dia|diameter|o/?d)\b\.?"
    r"|(?<=\d)-[4-8][ghe]{1,2}(?:[4-8][gh])?$|[- ][123][ab]$"
)
_LEFT = re.compile(r"\b(?:lh|left|left[ -]hand(?:ed)?)\b")
_FOREIGN = re.compile(r"\b(?:bsp[pt]?|bsw|bsf|whit(?:worth)?|\d+ ?ba|tr\d*)\b|^[gr]c? ?\d")
_DASH = re.compile(r"(?:-|#|an|jic|dash)[ -]*0?[2-9]|(?:-|an|jic|dash)[ -]*\d{1,2}|\d{1,2} ?(?:an|jic)")
_NAMES = {"c": "coarse", "f": "fine"}


def refuse_strangers(text: str, typed: object) -> None:
    """Raises for left-hand and British threads, and for a dash size that belongs to a line fitting."""
    if _LEFT.search(text):
        raise refuse(
            typed,
            "left-hand threads cannot be told from right-hand ones here",
            "Type the size alone and put the hand in a note",
        )
    if _FOREIGN.search(text):
        raise refuse(
            typed, "British and other thread forms are not read; they do not fit NPT or inch threads of that size", TYPE
        )
    if _DASH.fullmatch(text) and not text.startswith("#1"):
        raise refuse(
            typed,
            "this is a size of a line fitting, not a screw thread",
            "Type its thread, for example 3/8-24 for a -3 fitting",
        )


def tidy(text: str) -> str:
    """No noise words, no spaces round the marks between figures, "1 1/8" as "1-1/8", "pitch 1.5" as "x1.5"."""
    text = re.sub(r"(?:\b|(?<=\d))(?:pitch|p) ?(?=[\d.,])", "x", _NOISE.sub(" ", text).strip())
    text = re.sub(r"(?<=\d)(?:tpi)", "", re.sub(r"(\d) (\d+/\d+)", r"\1-\2", text))
    return re.sub(r"\s*([-x*/])\s*(?=[\d.,])", r"\1", re.sub(r"\s+", " ", text)).strip(" ,;")


def refuse_rest(rest: str, typed: object) -> None:
    if re.match(r"[-x* ]+\d", rest):
        raise refuse(
            typed,
            "there is a number too many, perhaps a length",
            "Type the thread alone and the length in its own cell",
        )
    if rest.strip(" .\"'"):
        raise refuse(typed, f'"{rest.strip()[:30]}" is not understood in a thread', TYPE)


def series_name(found: re.Match[str]) -> str:
    word = (found[1] or found[2]).replace("-", " ")
    if word in ("un", "uns"):
        return ""
    return (
        word if word in ("fine", "coarse", "extra fine") else "extra fine" if word.endswith("ef") else _NAMES[word[-1]]
    )
