"""Severities of verdicts as small numbers, the worst the greatest, as arrays hold them."""

from bomcheck.model.verdict import Verdict

SEVERITY = {verdict: verdict.severity for verdict in Verdict}
FITS, PARTS, UNKNOWN, MACHINING, NO = (
    SEVERITY[v]
    for v in (Verdict.FITS, Verdict.FITS_WITH_PARTS, Verdict.NOT_KNOWN, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT)
)
APART = SEVERITY[Verdict.DOES_NOT_APPLY]
