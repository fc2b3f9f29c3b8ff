"""The car in both states, and how one of its checks becomes a finding."""

from collections.abc import Callable, Iterator

from bomcheck.car.checks import INTERFACE, check_of
from bomcheck.car.figures import now_and_then, one, shown
from bomcheck.car.spread import Formula, State, Unknown
from bomcheck.engine.inputs import Inputs
from bomcheck.model.box import Range
from bomcheck.model.finding import Finding, Reason
from bomcheck.model.job import Job
from bomcheck.model.limits import Limit, limit_for
from bomcheck.model.records import dataclass, replace
from bomcheck.model.verdict import Verdict, inside
from bomcheck.tables.fields import fields


@dataclass(frozen=True)
class Scene:
    """job, sizes: with all remedies of the fit checks applied. axle: of the kit. present, kit: the car in both states."""

    job: Job
    sizes: Inputs
    axle: str
    present: State
    kit: State

    def before(self, formula: Formula) -> Range | None:
        """The present car's value, None where it is not known."""
        try:
            return self.present.over(formula)
        except Unknown:
            return None

    def limit(self, name: str) -> Limit:
        """A row of the Limits sheet."""
        return limit_for(name, self.job)

    @property
    def at_grip(self) -> bool:
        """Whether all is judged at the stop on all of the tyres' grip, as no deceleration is asked for."""
        return "design_deceleration" in self.kit.ranges and "design_deceleration" not in self.job.values

    @property
    def system(self) -> str:
        """Units of the job's sentences: "metric" or "inch"."""
        return "inch" if self.job.get("units") == "inch" else "metric"

    def shown(self, value: Range, unit: str, key: str = "") -> str:
        """A figure with its range in the job's units; key: of the finding that it belongs to."""
        return shown(value, unit, self.system, key)

    def one(self, value: float, unit: str, key: str = "") -> str:
        """A single figure in the job's units."""
        return one(value, unit, self.system, key)


Step = Callable[[Scene], Iterator[Finding]]


def blank(scene: Scene, name: str, axle: str = "", formula: str = "", **words: str) -> Finding:
    """The finding of a check, nothing found yet. name: of the check, or one of its own that begins with it. axle: where it
    is not the kit's. formula: where it is not the table's. words: to be put into the title."""
    check = check_of(name)
    axle = axle or scene.axle
    title = check.title.format(axle=axle, Axle=axle.capitalize(), **words) if "{" in check.title else check.title
    source = check.source or scene.limit(check.limit).source
    return Finding(
        name, title, INTERFACE, Verdict.FITS, unit=check.unit, weight=check.weight, source=source,
        formula=formula or check.formula,
    )  # fmt: skip


def compared(
    scene: Scene, name: str, value: Formula, axle: str = "", formula: str = "", held: bool = True, **words: str
) -> Finding:
    """The value before and after, held against the check's limit, if it has one; arguments as `blank` takes them."""
    found = replace(blank(scene, name, axle, formula, **words), before=scene.before(value))
    return judged(scene, found, lambda: scene.kit.over(value), held)


def judged(scene: Scene, found: Finding, after: Callable[[], Range], held: bool = True) -> Finding:
    """The same for values that are found in another way; `after` may raise Unknown. held: against the check's limit."""
    check = check_of(found.check)
    try:
        value = after()
    except Unknown as unknown:
        return not_known(found, unknown)
    limit = scene.limit(check.limit) if check.limit and held else None
    said = now_and_then(found.before, value, limit, found.unit, scene.system, found.check)
    found = against(replace(found, value=value, said=said), limit)
    return found if found.verdict is Verdict.FITS else replace(found, do=check.do)


def against(found: Finding, limit: Limit | None) -> Finding:
    """The finding with its verdict: the limit holds for every true size, for none, or that depends."""
    assert found.value is not None
    holds = True if limit is None else inside(found.value, limit)
    verdict = {True: Verdict.FITS, False: Verdict.DOES_NOT_FIT, None: Verdict.NOT_KNOWN}[holds]
    reason = {True: Reason.NONE, False: Reason.OUTSIDE_LIMIT, None: Reason.STRADDLES}[holds]
    return replace(found, verdict=verdict, reason=reason, limit=limit)


def to_see_to(found: Finding, said: str = "", do: str = "") -> Finding:
    """The finding as something to look at; what is not said anew stays."""
    said, do = said or found.said, do or found.do
    return replace(found, verdict=Verdict.FITS, reason=Reason.TO_SEE_TO, said=said, do=do)


def not_known(found: Finding, unknown: Unknown) -> Finding:
    """A finding that only asks."""
    known = fields()
    names = [known[name].label for name in unknown.keys if name in known]
    said = unknown.said or f"Blank: {', '.join(names)}"
    do = " ".join(known[name].question for name in unknown.keys if name in known)
    reason = Reason.DOUBTED if unknown.said else Reason.BLANK
    return replace(found, verdict=Verdict.NOT_KNOWN, reason=reason, said=said, do=do, asks=unknown.keys)
