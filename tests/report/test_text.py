"""Text tables: aligned by the cells that a terminal gives a text, safe to show."""

from spectui.files.width import cell_width
from spectui.report.text import columns


def test_columns_are_aligned_by_cells_and_not_by_characters() -> None:
    text = columns([["白い灯", "1"], ["e\u0301tage 2", "20"], ["bar", "300"]])
    assert text == "白い灯     1\ne\u0301tage 2   20\nbar      300\n"
    assert len({cell_width(line) for line in text.splitlines()}) == 1
