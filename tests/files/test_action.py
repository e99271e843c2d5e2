"""Reading an action spectrum of the user's. The tables in here are INVENTED."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from spectui.core.errors import FileError
from spectui.files.action import LARGEST_BYTES, parse_action, read_action

HEADER = "# name: yield\n# title: Yield\n# source: invented for this test\n# per: photon\n"
ROWS = [(400.0, 0.5), (550.5, 1.0), (700.0, 0.25)]


def text(delimiter: str, mark: str = ".") -> str:
    return HEADER + "\n".join(f"{a}{delimiter}{b}".replace(".", mark) for a, b in ROWS) + "\n"


@pytest.mark.parametrize(
    ("delimiter", "mark"), [(",", "."), (";", "."), (";", ","), ("\t", ","), (" ", ","), ("  ", ".")]
)
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_delimiters_decimal_marks_and_line_ends(delimiter: str, mark: str, end: str) -> None:
    action = parse_action(text(delimiter, mark).replace("\n", end).encode(), "a.csv")
    assert np.array_equal(np.column_stack([action.wavelength, action.weights]), np.array(ROWS))
    assert (action.key, action.title, action.source) == ("action_yield", "Yield", "invented for this test")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "latin-1"])
def test_encodings(encoding: str) -> None:
    data = text(",").replace("Yield", "Zuwachs für µmol").encode(encoding)
    assert parse_action(data, "a.csv").title == "Zuwachs für µmol"


def test_two_columns_a_line_of_names_and_other_comments() -> None:
    data = (HEADER + "# sigma of both forms\nnm,first,second\n600,0.5,0.5\n700,1,0\n").encode()
    action = parse_action(data, "a.csv")
    assert action.fraction
    assert action.weights.tolist() == [[0.5, 0.5], [1.0, 0.0]]


def test_from_a_path(tmp_path: Path) -> None:
    path = tmp_path / "yield.csv"
    path.write_text(text(","), encoding="utf-8")
    assert read_action(path).per == "photon"
    with pytest.raises(FileError, match="missing"):
        read_action(tmp_path / "missing.csv")
    path.write_bytes(b"#" * (LARGEST_BYTES + 1))
    with pytest.raises(FileError, match="more than 4096 KiB"):
        read_action(path)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("# source: invented for this test\n", "", "no `# source:` line"),
        ("# source: invented for this test\n", "# source:\n", "no `# source:` line"),
        ("# per: photon\n", "", "no `# per:` line"),
        ("# per: photon", "# per: quantum", "photon or energy"),
        ("# name: yield\n", "", "no `# name:` line"),
        ("# per: photon\n", "# per: photon\n# per: energy\n", "line 5: # per: stands twice"),
        ("550.5,1.0", "550.5,x", "line 6: expected a wavelength"),
        ("400.0,0.5", "400.0,x", "line 5: expected a wavelength"),
        ("550.5,1.0", "550.5,1.0,2.0", "line 6: expected 2 numbers"),
        ("550.5,1.0", "550.5", "line 6: expected 2 numbers"),
        ("550.5,1.0", "550.5,-1.0", "550.5 nm is negative"),
        ("550.5,1.0", "550.5,nan", "550.5 nm is negative or no number"),
        ("400.0,0.5\n550.5,1.0\n", "", "at least 2 rows"),
        ("400.0,0.5\n550.5,1.0\n700.0,0.25\n", "", "got none"),
        ("550.5", "390", "got 390 nm after 400 nm"),
    ],
)
def test_errors_name_file_and_cause(old: str, new: str, message: str) -> None:
    whole = text(",")
    assert old in whole
    with pytest.raises(FileError, match=message) as caught:
        parse_action(whole.replace(old, new).encode(), "mine.csv")
    assert str(caught.value).startswith("mine.csv: ")
