"""From a row of the table of bodies to a check, with its manual page."""

from collections.abc import Callable
from typing import Any

from bomcheck.model.body import Body, Part, Space
from bomcheck.model.rule import Check, Remedy, write_down

PAGE = """{title}

Must be true:
    Air stays between the {what} and all that turns past it: {pairs}. Apart along the axle or away from it is enough.
Why:
    What turns grows when it is hot and moves when the hub is loaded; metal that touches it cuts it, or locks the wheel.
Example:
    A body that begins 41.00 mm inboard of the hub face stands 4.00 mm clear of a disc that ends at 37.00 mm.

Remedy:
    {remedy}
Source:
    geometry; the air is common practice, no source
"""


def body_check(body: Body, fixed: tuple[Part, ...], turning: tuple[Part, ...], remedy: Remedy, cured: str) -> None:
    """Write down the check of one fixed body."""
    space = Space(body, body.parts(fixed), body.past(turning))
    pairs = ", ".join(dict.fromkeys(pair.turning for pair in body.pairs))
    what = body.title[:1].lower() + body.title[1:]
    write_down(Check(
        name=body.name, title=body.title, interface="space", kind="space", when=body.when, requires=body.requires,
        function=_paged(PAGE.format(title=body.title, what=what, pairs=pairs, remedy=cured)),
        parameters=(*body.sizes(fixed, turning), *body.words(fixed, turning)), remedy=remedy, space=space,
    ))  # fmt: skip


def _paged(page: str) -> Callable[..., Any]:
    """A bearer of the manual page; the arithmetic is `bomcheck.engine.space`."""

    def told() -> str:
        return page

    told.__doc__ = page
    return told
