"""The whole assessment of one job, warm, without reading and writing. Run by hand: python -m tests.benchmarks.bench_assess"""

import statistics
import time

from bomcheck.assess import assess
from bomcheck.io.read.job import read_job
from bomcheck.model.shipped import folder

ROUNDS = 30


def main() -> None:
    """Median and best processor time of each demo [ms]; the aim is 20."""
    for demo in sorted(folder("demo_workbooks").glob("*.xlsx")):
        job, _ = read_job(demo)
        assess(job)
        times = []
        for _ in range(ROUNDS):
            start = time.process_time()
            report = assess(job)
            times.append((time.process_time() - start) * 1000)
        print(
            f"{demo.stem:26} median {statistics.median(times):5.1f} ms, best {min(times):5.1f} ms, {report.passes} rounds"
        )


if __name__ == "__main__":
    main()
