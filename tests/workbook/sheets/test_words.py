"""Words for limits on the result's sheets."""

from bomcheck.io.sheets.words import limit_words, set_by
from bomcheck.model.limits import KIT, SHEET, Limit


def test_a_limit_in_words() -> None:
    """Bounds in the job's units; 3 mm / 25.4 = 0.118 in. A limit without bounds holds nothing back."""
    assert limit_words(Limit("a", "A", 0.02, 0.2, "mm", ""), "metric") == "0.02 to 0.20 mm"
    assert limit_words(Limit("a", "A", 3.0, None, "mm", ""), "inch") == "at least 0.118 in"
    assert limit_words(Limit("a", "A", None, None, "mm", ""), "metric") == "none, for information"


def test_who_set_it() -> None:
    """The usual limit, unless the user's sheet or the kit's sheet says otherwise."""
    said = [set_by(Limit("a", "A", 0.0, 1.0, "mm", "", **({"ruled_by": by} if by else {}))) for by in ("", SHEET, KIT)]
    assert said == ["usual limit", "set by the Limits sheet", "set by the kit's sheet"]
