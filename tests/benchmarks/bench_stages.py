"""How much of what applies is settled, by sizes or by the maker's list: on the telephone, with the car measured, with the kit
measured too. Five invented cars; run with `python -m tests.benchmarks.bench_stages`."""

from pathlib import Path

from bomcheck.io.read.job import read_job
from bomcheck.model.shipped import folder
from tests.helpers.stages import CARS, settled, stages


def main() -> None:
    """One line a car, then all."""
    total: dict[str, list[int]] = {}
    for car in CARS:
        job = read_job(Path(folder("demo_workbooks")) / f"{car}.xlsx")[0]
        shares = []
        for stage, known in stages(job).items():
            done, of = settled(known)
            sums = total.setdefault(stage, [0, 0])
            sums[0], sums[1] = sums[0] + done, sums[1] + of
            shares.append(f"{stage} {done} of {of} ({done / of:.0%})")
        print(f"{car}: {'; '.join(shares)}")
    print("all: " + "; ".join(f"{stage} {done / of:.0%}" for stage, (done, of) in total.items()))


if __name__ == "__main__":
    main()
