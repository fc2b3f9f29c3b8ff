"""Ways to cover the needs of one pool with packs, as a graph of what is still open; costs are shortest paths in it.

A state is what each need still lacks, which offers with a least quantity have been opened, and of which kind of part each
need has got some: the rest of it must be of that kind too. Each step buys one pack
(or the least quantity) and shares it out; what is lacking gets less with each step, so the graph has no circles.
"""

from collections.abc import Iterator, Mapping

from bomcheck.parts.buy_pool import Pool

State = tuple[tuple[int, ...], int, tuple[int, ...]]
"""(What each need lacks, offers with a least quantity that are open, as bits, kind of what each need has in part)."""
Step = tuple[int, int, State]
"""(Number of the pick, packs, where it leads)."""
TOO_MANY = 200_000


class TooLarge(Exception):
    """More states than can be searched."""


class Cover:
    """One pool, restricted to some suppliers."""

    def __init__(self, pool: Pool, allowed: frozenset[str]) -> None:
        self.picks = [pick for pick in pool.picks if pick.offer.supplier in allowed]
        numbers = range(len(self.picks))
        self._serving = [[one for one in numbers if need in self.picks[one].needs] for need in range(len(pool.amounts))]
        self.start: State = (pool.amounts, 0, (0,) * len(pool.amounts))
        self.steps: dict[State, list[Step]] = {}
        self._build()
        self.order = sorted(self.steps, key=lambda state: sum(state[0]))

    def costs(self, share: Mapping[str, float] | None = None) -> dict[State, float]:
        """Least cost [1/10000] to the end from each state; inf where there is none. share: by which the prices of a
        supplier count, 1 where it is not named."""
        prices = self._prices(share)
        cost: dict[State, float] = {}
        for state in self.order:
            if not any(state[0]):
                cost[state] = 0
                continue
            ways = (prices[number] * packs + cost[then] for number, packs, then in self.steps[state])
            cost[state] = min(ways, default=float("inf"))
        return cost

    def cheapest(self, cost: Mapping[State, float], share: Mapping[str, float] | None = None) -> dict[int, int]:
        """Packs by number of the pick on a cheapest way; cost: from `costs` with the same share."""
        prices, state = self._prices(share), self.start
        packs: dict[int, int] = {}
        while any(state[0]):
            number, count, state = min(
                self.steps[state], key=lambda step: (prices[step[0]] * step[1] + cost[step[2]], step[0])
            )
            packs[number] = packs.get(number, 0) + count
        return packs

    def _prices(self, share: Mapping[str, float] | None) -> list[float]:
        if not share:
            return [pick.price for pick in self.picks]
        return [pick.price * share.get(pick.offer.supplier, 1.0) for pick in self.picks]

    def _build(self) -> None:
        waiting = [self.start]
        while waiting:
            state = waiting.pop()
            if state in self.steps:
                continue
            if len(self.steps) > TOO_MANY:
                raise TooLarge
            self.steps[state] = steps = list(self._from(state)) if any(state[0]) else []
            waiting += [then for _, _, then in steps if then not in self.steps]

    def _from(self, state: State) -> Iterator[Step]:
        """Buy for the first need that lacks something; offers that serve it only later come in their turn."""
        lacking, opened, kinds = state
        first = next(number for number, amount in enumerate(lacking) if amount)
        for number in self._serving[first]:
            pick = self.picks[number]
            if kinds[first] not in (0, pick.kind):
                continue
            bit = 1 << number if pick.least > 1 else 0
            packs = 1 if opened & bit or pick.least == 1 else pick.least
            if len(pick.needs) == 1:
                left = max(0, lacking[first] - pick.size * packs)
                now = (*lacking[:first], left, *lacking[first + 1 :])
                yield number, packs, (now, opened | bit, self._kinds(kinds, now, pick.kind, lacking))
                continue
            alike = tuple(need for need in pick.needs if kinds[need] in (0, pick.kind))
            for shared in _shared(lacking, alike, pick.size * packs):
                yield number, packs, (shared, opened | bit, self._kinds(kinds, shared, pick.kind, lacking))

    @staticmethod
    def _kinds(kinds: tuple[int, ...], now: tuple[int, ...], kind: int, before: tuple[int, ...]) -> tuple[int, ...]:
        """The kinds after a step: what is complete needs none any more."""
        if not kind:
            return kinds
        return tuple(
            0 if not left else kind if left < was else old for left, was, old in zip(now, before, kinds, strict=True)
        )


def _shared(lacking: tuple[int, ...], needs: tuple[int, ...], size: int) -> Iterator[tuple[int, ...]]:
    """All ways to share out a pack to the last piece, or until nothing is lacking."""
    open_needs = [need for need in needs if lacking[need]]
    if len(open_needs) == 1 or sum(lacking[need] for need in open_needs) <= size:
        left = list(lacking)
        for need in open_needs:
            left[need] = max(0, left[need] - size)
        yield tuple(left)
        return
    yield from _split(lacking, open_needs, size)


def _split(lacking: tuple[int, ...], needs: list[int], size: int) -> Iterator[tuple[int, ...]]:
    """Shares of exactly `size`, at least one of them for the first need."""
    first, others = needs[0], needs[1:]
    rest = sum(lacking[need] for need in others)
    for share in range(max(1, size - rest), min(size, lacking[first]) + 1):
        for left in _rest_split(lacking, others, size - share):
            yield (*left[:first], lacking[first] - share, *left[first + 1 :])


def _rest_split(lacking: tuple[int, ...], needs: list[int], size: int) -> Iterator[tuple[int, ...]]:
    if not size:
        yield lacking
        return
    first, others = needs[0], needs[1:]
    rest = sum(lacking[need] for need in others)
    for share in range(max(0, size - rest), min(size, lacking[first]) + 1):
        for left in _rest_split(lacking, others, size - share):
            yield (*left[:first], lacking[first] - share, *left[first + 1 :])
