"""How long a large purchase takes: 30 needs, 5,000 offers, 5 suppliers with freight, two of them with a minimum.

Run as a script: `python -m tests.benchmarks.bench_buy`. The aim is 100 ms once everything is loaded. Processor
time is taken, so that other work on the machine does not count.
"""

from random import Random
from time import process_time

from bomcheck.supply.buying import Need, Offer, Supplier, buy

NEEDS, OFFERS = 30, 5000
SUPPLIERS = (
    Supplier("A", 9.5), Supplier("B", 12.0, 60.0), Supplier("C", 0.0), Supplier("D", 6.9, 40.0), Supplier("E", 15.0),
)  # fmt: skip


def large_case(seed: int) -> tuple[list[Need], list[Offer]]:
    """Each need has about as many offers; one in fifty offers serves a second need as well."""
    random = Random(seed)
    needs = [Need(f"n{number}", random.choice([1, 2, 4, 8, 10, 20])) for number in range(NEEDS)]
    base = [random.uniform(0.5, 60) for _ in needs]
    return needs, [_offer(random, number, base) for number in range(OFFERS)]


def _offer(random: Random, number: int, base: list[float]) -> Offer:
    place = number % NEEDS
    pack = random.choice([1, 1, 1, 2, 4, 5, 10, 25])
    price = round(base[place] * random.uniform(0.8, 1.6) * pack * (0.97 if pack > 1 else 1), 2)
    serves = {f"n{place}"} | ({f"n{(place + 1) % NEEDS}"} if number % 50 == 0 and place % 3 == 0 else set())
    return Offer(
        f"P{number}", random.choice(SUPPLIERS).name, frozenset(serves), pack, price, 1, random.choice([1, 2, 5, 9])
    )


def measure(rounds: int = 7) -> list[float]:
    """Seconds of processor time of each round after a first one that warms up."""
    needs, offers = large_case(0)
    buy(needs, offers, SUPPLIERS, days=7)
    times = []
    for seed in range(rounds):
        needs, offers = large_case(seed)
        start = process_time()
        buy(needs, offers, SUPPLIERS, days=7)
        times.append(process_time() - start)
    return times


def main() -> None:
    """Print the least, middle and greatest time."""
    times = sorted(measure())
    print(f"{NEEDS} needs x {OFFERS} offers x {len(SUPPLIERS)} suppliers: ", end="")
    print(
        f"{times[0] * 1e3:.0f} / {times[len(times) // 2] * 1e3:.0f} / {times[-1] * 1e3:.0f} ms (least / middle / greatest)"
    )


if __name__ == "__main__":
    main()
