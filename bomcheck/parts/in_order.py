"""The lines of one status in the order in which a person can follow them: what shares packs stands together."""

from collections.abc import Iterator, Sequence

from bomcheck.parts.line import Line


def together(lines: Sequence[Line]) -> list[Line]:
    """Each line followed by those that take from its packs, and by the further packs that hold its rest."""
    return [one for line in lines if not line.out_of and not line.rest_of for one in _with_its_own(line, lines)]


def _with_its_own(line: Line, lines: Sequence[Line]) -> Iterator[Line]:
    yield line
    for one in lines:
        if one.out_of == line.key:
            yield one
        elif one.rest_of == line.key:
            yield from _with_its_own(one, lines)
