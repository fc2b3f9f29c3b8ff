"""The shared texts of a workbook."""

import re

from bomcheck.workbook.parts import doctype
from bomcheck.workbook.refusal import damaged, too_large
from bomcheck.workbook.xml_tree import MAIN, BadXml, Doctype, new_parser, run

MOST_STRINGS = 400_000
SI, T, PHONETIC = (f"{MAIN} {name}" for name in ("si", "t", "rPh"))
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")


def unescape(text: str) -> str:
    """Texts hold characters that XML cannot as _x000D_."""
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), text) if "_x" in text else text


def read_strings(file: str, part: str, content: bytes) -> list[str]:
    """The shared texts in order: the runs of rich text joined, phonetic readings left out; raises WorkbookError."""
    reader = _Reader(file)
    try:
        reader.run(content)
    except Doctype:
        raise doctype(file, part) from None
    except BadXml as error:
        raise damaged(file, f"its shared texts are not readable ({error})") from None
    return reader.strings


class _Reader:
    def __init__(self, file: str) -> None:
        self.file = file
        self.strings: list[str] = []
        self.words: list[str] = []
        self.pieces: list[str] = []
        self.phonetic = False

    def run(self, content: bytes) -> None:
        parser = new_parser()
        parser.StartElementHandler, parser.EndElementHandler = self.start, self.end
        parser.CharacterDataHandler = self.words.append
        run(parser, content)

    def start(self, tag: str, _: dict[str, str]) -> None:
        if tag == T:
            self.words.clear()
        elif tag == SI:
            self.pieces.clear()
        elif tag == PHONETIC:
            self.phonetic = True

    def end(self, tag: str) -> None:
        if tag == T and not self.phonetic:
            self.pieces.append("".join(self.words))
        elif tag == SI:
            self.keep()
        elif tag == PHONETIC:
            self.phonetic = False

    def keep(self) -> None:
        if len(self.strings) >= MOST_STRINGS:
            raise too_large(self.file, "it has too many different texts")
        self.strings.append(unescape("".join(self.pieces)))
