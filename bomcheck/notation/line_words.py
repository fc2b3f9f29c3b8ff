"""The words of a line end: seat, gender, dash and tube size, taken out of the text so that the thread is left."""

import re
from typing import NamedTuple

from bomcheck.notation.clean import refuse
from bomcheck.notation.line_sizes import tube_size

SEATS = (
    ("banjo", r"banjo(?: bolt| screw| fitting)?"),
    ("crush", r"(?:crush|copper|sealing) ?-?(?:washer|gasket)|crush"),
    ("O-ring", r"o ?-?rings?(?: boss)?|orb"),
    ("NPT", r"nptf?|taper pipe|pipe"),
    ("bubble", r"(?:iso|din|metric|single)? ?-?bubble(?: flare)?|(?:iso|din)(?: flare)?"),
    (
        "inverted flare",
        (
            r"(?:invert(?:ed)?|inv\.?)(?: double)?(?: flare)?|i\.?f\.?|if(?=[mf]\b)|double(?: flare)?"
            r"|45 ?(?:deg(?:rees?)?|°)?(?: (?:double )?flare)?"
        ),
    ),
    ("37", r"37 ?(?:deg(?:rees?)?|°)?(?: cone)?(?: flare)?|(?:an|jic)(?: flare)?"),
)
GENDERS = (
    ("male", r"male|ext(?:ernal)?"),
    ("female", r"female|fem|int(?:ernal)?"),
    ("eye", r"eye|ring"),
    ("port", r"port"),
)
_LETTERS = {"m": "male", "f": "female"}
_DASH = re.compile(
    r"(?:^|(?<= ))(?:(?:an|jic)[ -]*|dash ?-?|size ?-?|# ?|-)(?!37|45)0?(\d{1,2})(?: ?(?:an|jic))?(?![\d./x*])(?!-\d)"
    r"|(?:^|(?<= ))0?(\d{1,2}) ?-?(?:an|jic)\b"
)
_TUBE = re.compile(
    r'(?:^|(?<= ))(\d+/\d+|\d*[.,]?\d+) ?(mm|in|inch|")? ?(?:od )?tub(?:e|ing)(?! ?nut)\b'
    r"|\btube ?(?:od|size)? ?(\d+/\d+|\d*[.,]\d+|\d+ ?mm)"
)
_NOISE = re.compile(
    r"\b(?:tube|flare|nut|nuts|hose|end|fitting|fittings|inlet|thread|seat|swivel|deg|degrees?|cone|with|for|the|and|a|an"
    r"|straight|brake|line|union|bulkhead|washers?|gasket|type|style|sae)\b|[;:°]|(?<!\d),|,(?!\d)"
)


KNOWN = (
    "inverted",
    "flare",
    "bubble",
    "banjo",
    "crush",
    "o-ring",
    "male",
    "female",
    "tube",
    "port",
    "fine",
    "coarse",
    "pipe",
)


def stray_word(rest: str) -> str | None:
    """The first word in the text left over that belongs to no thread, None if there is none."""
    words = re.findall(r"(?<![\w/.#-])[a-z]{3,}\b", rest)
    return next(
        (word for word in words if word not in KNOWN and not re.fullmatch(r"un[a-z]*|npt|tpi|bs[pwf]t?", word)), None
    )


def meant_word(word: str) -> str:
    """'Did you mean "flare"? ' where a known word is near, else ""."""
    import difflib

    near = difflib.get_close_matches(word, KNOWN, 1, 0.6)
    return f'Did you mean "{near[0]}"? ' if near else ""


class Words(NamedTuple):
    """seat and gender as in LineEnd, dash size ("3"), tube [mm], and the text that is left, a thread or ""."""

    seat: str | None
    gender: str | None
    dash: str | None
    tube: float | None
    rest: str


def take_words(text: str, typed: object) -> Words:
    """Takes seat, gender, dash and tube size out of plain text. Raises Unreadable when two of a kind disagree."""
    dash, rest = _take_dash(" ".join(re.sub(r"[()]", " ", text.lower()).split()))
    tube, rest = _take_tube(rest)
    gender, rest = _take_letter(rest)
    seat, rest = _take(SEATS, rest, "seats", typed)
    word, rest = _take(GENDERS, rest, "genders", typed)
    if gender and word and gender != word:
        raise refuse(typed, f"both {gender} and {word} are stated", "Type one gender", "entries disagree")
    rest = " ".join(_NOISE.sub(" ", rest).split()).strip(" -/.")
    return Words(seat, _port(word or gender, seat), dash, tube, rest)


def _take(choices: tuple[tuple[str, str], ...], text: str, what: str, typed: object) -> tuple[str | None, str]:
    """(the choice that is named in the text, the text without it)."""
    found: list[str] = []
    for name, pattern in choices:
        without = re.sub(rf"(?<![\w/.])(?:{pattern})(?![\w/])", " ", text)
        if without != text:
            found.append(name)
            text = without
    if what == "genders" and "port" in found and len(found) > 1:
        found.remove("port")
    if len(found) > 1:
        raise refuse(typed, f"two {what} are stated, {found[0]} and {found[1]}", "Type one of them", "entries disagree")
    return (found[0] if found else None), text


def _port(gender: str | None, seat: str | None) -> str | None:
    """The gender of a port: only a banjo calls it "port", every other port is a female thread."""
    return "female" if gender == "port" and seat != "banjo" else gender


def _take_dash(text: str) -> tuple[str | None, str]:
    found = _DASH.search(text)
    if not found:
        return None, text
    return found[1] or found[2], f"{text[: found.start()]} {text[found.end() :]}".strip()


def _take_tube(text: str) -> tuple[float | None, str]:
    found = _TUBE.search(text)
    if not found:
        return None, text
    size = f"{found[1]} {found[2] or ''}" if found[1] else found[3]
    return tube_size(size.strip()), f"{text[: found.start()]} {text[found.end() :]}".strip()


def _take_letter(text: str) -> tuple[str | None, str]:
    """A gender written as a lone M or F: "IFM", "3/8-24 IF m"; the M of "M 10x1" is none."""
    found = re.search(r"(?<=\bif)[mf]\b|(?<![\w/.])\b[mf]\b(?! ?\d)", text)
    if not found:
        return None, text
    return _LETTERS[found[0]], f"{text[: found.start()]} {text[found.end() :]}"
