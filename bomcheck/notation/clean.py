"""First step of every reader: typed text to plain text. Also the words that mean "left blank"."""

import re
import unicodedata

from bomcheck.errors import Unreadable

LONGEST = 1000
BLANKS = frozenset(
    (
        "?",
        "-",
        "tbc",
        "tba",
        "tbd",
        "n/a",
        "n / a",
        "na",
        "n.a",
        "n/k",
        "unknown",
        "not known",
        "not measured",
        "to be confirmed",
        "don't know",
        "no idea",
    )
)
_MARKS = str.maketrans(
    {
        **dict.fromkeys("‐‑‒–—―−﹣－", "-"),
        **dict.fromkeys("×✕✖⨯╳", "x"),
        **dict.fromkeys("“”„‟″＂ʺ", '"'),
        **dict.fromkeys("‘’‚‛′＇ʹ`´", "'"),
        **dict.fromkeys("\u00ad\u200b\u200c\u200d\u2060\ufeff", None),
        "⁄": "/",
        "∕": "/",
        "≈": "~",
        "⌀": "Ø",
        "∅": "Ø",
        "ø": "Ø",
        "µ": "μ",
    }
)


def plain(typed: object) -> str:
    """`typed` as text with one kind of dash, quote, times sign and space; "1¾″" becomes '1 3/4"'.

    Raises Unreadable when it is longer than a size, a thread or a list can be.
    """
    text = number_text(typed) if isinstance(typed, (int, float)) else str(typed)
    if len(text) > LONGEST:
        raise Unreadable("unreadable text", short(text), "this is too long", "Type the value alone")
    text = "".join(map(_whole, text)).translate(_MARKS)
    text = unicodedata.normalize("NFKC", text).translate(_MARKS).replace("''", '"')
    return re.sub(r"\s+", " ", text).strip()


def number_text(number: float) -> str:
    """A number from a cell as a person would type it: 12.0 -> "12", 0.1 -> "0.1"."""
    return repr(int(number)) if isinstance(number, float) and number.is_integer() else repr(number)


def _whole(sign: str) -> str:
    """A fraction that is one sign becomes " 3/4"; every other sign stays."""
    parts = unicodedata.decomposition(sign)
    return " " + unicodedata.normalize("NFKC", sign) if parts.startswith("<fraction>") else sign


def is_blank(text: str) -> bool:
    """Whether plain text says that nothing is known: "", "?", "TBC", "N/A", a lone dash."""
    return text.lower().strip(" .") in BLANKS or not text.strip(" .-?")


def short(typed: object) -> str:
    """The typed text for a message, cut where it would fill the line."""
    text = str(typed)
    return text if len(text) <= 60 else text[:57] + "..."


def refuse(typed: object, wrong: str, instead: str, kind: str = "unreadable text") -> Unreadable:
    """An Unreadable, to be raised, with the typed text kept short."""
    return Unreadable(kind, short(typed), wrong, instead)


def split_list(text: str) -> list[str]:
    """The items of a list: divided by ";", a new line, or a comma that is followed by a space."""
    return [item.strip() for item in re.split(r";|,\s|,$", text) if item.strip()]
