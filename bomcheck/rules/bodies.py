"""All bodies of the corner in one space: what turns, what stands still, and which of them must stay apart.

To add a body, add its boxes to `tables/body_boxes.txt`, and a row to `tables/bodies.txt` with what it must clear.
"""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from bomcheck.model.body import Body, Pair, Part, Space
from bomcheck.model.demand import Demand
from bomcheck.model.finding import mm
from bomcheck.model.records import replace
from bomcheck.model.rule import Check, Cure, Reading, Remedy, no_cure, write_down
from bomcheck.model.types import BoltCircle
from bomcheck.model.verdict import Verdict
from bomcheck.rules.body_sizes import may_be_blank
from bomcheck.rules.joint_table import condition, listed
from bomcheck.rules.pads import shield_away
from bomcheck.tables import page, rows

TITLES = {"hub flange": "the hub's flange", "wheel barrel": "the wheel's barrel", "valve": "the wheel's valve"}


def _boxes(moves: str) -> Iterator[Part]:
    for row in (row for row in rows("body_boxes") if row["moves"] == moves):
        same = dict(one.split("=") for one in listed(row["same"]))
        for end in ("upper", "lower") if "{hole}" in row["r0"] else ("",):
            r0, r1 = (row[key].replace("{hole}", f"ear_hole_{end}") for key in ("r0", "r1"))
            yield Part(row["body"], row["x0"], row["x1"], r0, r1, condition(row["when"]), same)


TURNING, FIXED = tuple(_boxes("turns")), tuple(_boxes("stands"))


def _refused(fails: str, reading: Reading) -> Cure:
    against = TITLES.get(reading.against, f"the {reading.against}")
    return no_cure(Verdict.DOES_NOT_FIT, fails.format(against=against))


SPACERS = (3.0, 5.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0)  # mm, thicknesses commonly sold: common practice, no source


def _under_the_wheel(reading: Reading) -> Cure:
    """A caliper that meets the wheel: weights moved, a spacer under it where it is the spokes."""
    if reading.against == "wheel barrel":
        return _as_a_block(reading, _weights_or_wheel(reading))
    return _as_a_block(reading, _wheel_spacer(reading))


def _as_a_block(reading: Reading, cure: Cure) -> Cure:
    """Says that the body counts as a block as wide and as high as its largest, where its outline is blank."""
    if reading.sizes.has("caliper_envelope"):
        return cure
    text = f"{cure.do}. The caliper counts as a plain block here: if it tapers, type its outline (Kit) first"
    return replace(cure, do=text)


def _weights_or_wheel(reading: Reading) -> Cure:
    """Weights come off before a wheel is refused, unless it surely meets the caliper without them too; judged again after."""
    weight = reading.number("wheel_weight_thickness") - reading.sizes.half("wheel_weight_thickness")
    assert reading.value is not None
    assert reading.limit is not None
    bare = reading.value.high + weight
    if reading.number("wheel_weight_thickness") > 0 and bare >= (reading.limit.low or 0.0):
        labour = Demand("labour", 0.25, unit="hour", reason="stick-on weights are in the caliper's way", used_at="wheel",
                        said="move the stick-on weights and balance the wheel")  # fmt: skip
        weights = Demand("wheel weight", 1, one_time=True, reason="weights that were stuck on do not stick again", used_at="wheel",
                         said="set of new stick-on weights, beside the caliper's path")  # fmt: skip
        text = "Have the stick-on weights moved out of the caliper's way and the wheel balanced"
        return Cure(Verdict.FITS_WITH_PARTS, text, (labour, weights), {"wheel_weight_thickness": (0.0, 0.0)})
    return no_cure(Verdict.DOES_NOT_FIT, "The caliper does not go inside this wheel: a larger wheel or another kit")


def _wheel_spacer(reading: Reading) -> Cure:
    present = reading.number("wheel_spacer_thickness")
    stock = (*reading.sizes.job.prices, *reading.sizes.job.shelf)
    sold = sorted({p.thickness for p in stock if p.role == "wheel spacer" and p.thickness} | set(SPACERS))
    size = next((size for size in sold if size >= present + reading.short - 1e-9), None)
    if size is None:
        text = f"The spokes need {mm(reading.short, 1)} more than spacers give: another wheel"
        return no_cure(Verdict.DOES_NOT_FIT, text)
    circle: BoltCircle = reading.sizes["hub_bolt_circle"]
    pilots = tuple(reading.number(key) for key in ("hub_pilot_diameter", "wheel_bore") if reading.sizes.has(key))
    own = {"own_pilot": pilots} if reading.sizes.has("wheel_pilot_length") else {}
    spec = {"thickness": (size, size), "pattern": circle.name, "metal": True, **own}
    spacer = Demand("wheel spacer", 1, spec=spec, used_at="hub to wheel",
                    reason=f"the spokes need {mm(reading.short, 1)} more room",
                    said=f"wheel spacer {mm(size)}, {circle.name}, with its own pilot, as long as the hub's")  # fmt: skip
    changes, pilot = {"wheel_spacer_thickness": (size, 0.0)}, "wheel_pilot_length"
    if reading.sizes.has(pilot):  # the spacer's own carries it on
        changes[f"hub_{pilot}"] = (reading.number(pilot) + size, reading.sizes.half(pilot))
    return Cure(Verdict.FITS_WITH_PARTS, f"Fit a wheel spacer of {mm(size)}", (spacer,), changes)


OWN = {
    "dust_shield": Remedy(lambda reading: shield_away(reading, "Trim the dust shield", "the dust shield is in the rotor's way"), reads=("shield",)),
    "caliper_in_wheel": Remedy(
        _under_the_wheel, verdicts=(Verdict.FITS_WITH_PARTS, Verdict.DOES_NOT_FIT),
        reads=("wheel_weight_thickness", "wheel_spacer_thickness", "hub_bolt_circle", "caliper_envelope", "wheel_pilot_length", "hub_pilot_diameter", "wheel_bore"),
        changes=("wheel_weight_thickness", "wheel_spacer_thickness", "hub_wheel_pilot_length"),
    ),
}  # fmt: skip


def _pair(text: str) -> Pair:
    """ "spokes: spoke = spoke_room"."""
    turning, _, rest = text.partition(": ")
    limit, _, gap = rest.partition(" = ")
    return Pair(turning, limit, gap)


def _body(row: dict[str, str]) -> tuple[Body, Remedy]:
    pairs = tuple(map(_pair, listed(row["pairs"])))
    body = Body(row["name"], row["title"], pairs, listed(row["boxes"]), condition(row["when"]), listed(row["requires"]))
    refused = Remedy(partial(_refused, row["fails"]), verdicts=(Verdict.DOES_NOT_FIT,))
    return body, OWN.get(body.name, refused)


def _check(body: Body, remedy: Remedy, cured: str) -> Check:
    """The check of one fixed body."""
    space = Space(body, body.parts(FIXED), body.past(TURNING))
    pairs = ", ".join(dict.fromkeys(pair.turning for pair in body.pairs))
    what = body.title[:1].lower() + body.title[1:]
    return Check(
        name=body.name, title=body.title, interface="space", kind="space", when=body.when, requires=body.requires,
        function=_paged(page("body").format(title=body.title, what=what, pairs=pairs, remedy=cured)),
        parameters=(*body.sizes(FIXED, TURNING), *body.words(FIXED, TURNING)), remedy=remedy, space=space,
    )  # fmt: skip


def _paged(page: str) -> Callable[..., Any]:
    """A bearer of the manual page; the arithmetic is `bomcheck.engine.space`."""

    def told() -> str:
        return page

    told.__doc__ = page
    return told


BODIES = tuple(_body(row) for row in rows("bodies"))
for (_one, _remedy), _row in zip(BODIES, rows("bodies"), strict=True):
    for _key in _one.sizes(FIXED, TURNING):
        may_be_blank(_key)
    write_down(_check(_one, _remedy, _row["cured"]))
