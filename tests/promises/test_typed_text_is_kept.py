"""Text typed by people is never rewritten, whatever units the job is in; our own sentences are in the job's units."""

import re
from dataclasses import replace

from bomcheck.assess import assess
from bomcheck.io.read.job import read_job
from bomcheck.model.finding import mm, said_in, within
from bomcheck.model.shipped import folder

TYPED = "Hose, catalogue 400 mm road"


def test_a_part_named_in_millimetres_keeps_its_name_in_an_inch_job() -> None:
    job = read_job(folder("demo_workbooks") / "inch_pickup.xlsx")[0]
    renamed = replace(
        job,
        **{
            name: tuple(
                replace(part, description=TYPED) if part.role == "hose" else part for part in getattr(job, name)
            )
            for name in ("box", "prices", "shelf")
        },
    )
    report = assess(renamed)
    texts = [text for line in report.parts for text in (line.description, line.spec, line.reason, line.note)]
    assert any(TYPED in text for text in texts)
    assert not any("catalogue 15.7" in text for text in texts)
    ours = [text.replace(TYPED, "") for finding in report.findings for text in (finding.said, finding.do)]
    assert not [text for text in ours if re.search(r"\d mm\b", text)]


def test_the_asked_for_closeness_is_never_coarser_in_inches() -> None:
    """25.4 mm are one inch exactly (international inch, 1959)."""
    for settle in (2.0, 0.7, 0.06, 0.05, 0.021, 0.013, 0.004):
        with said_in("inch"):
            text = within(settle)
        assert float(text.strip("± in")) * 25.4 <= settle
    with said_in("inch"):
        assert mm(12.7) == "0.500 in"
    assert mm(12.7) == "12.7 mm"
