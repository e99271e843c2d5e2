"""Few whole pictures, kept as text: what changed in them is meant or is a mistake (regression, not truth)."""

from __future__ import annotations

from pathlib import Path

import pytest

from spectui.charts.cells import Form, line_width, plain
from spectui.charts.text import text_chart
from tests.charts import scenes
from tests.charts.lights import A, scan, sodium

KEPT = Path(__file__).parent / "kept"
SCENES = ["desk80", "redblue80", "sodium80", "sun80", "zoomed80", "partly80", "units80", "negative80", "sodium_sun80",
          "desk120", "apart120"]  # fmt: skip


@pytest.mark.parametrize("name", SCENES)
@pytest.mark.parametrize("form", [Form(), Form(color=False), Form(ascii=True, color=False)])
def test_a_screen_fills_its_size(name: str, form: Form) -> None:
    width, height = (120, 36) if "120" in name else (80, 24)
    lines = getattr(scenes, name)(form, False)
    assert len(lines) == height and {line_width(line) for line in lines} == {width}


@pytest.mark.parametrize(("name", "form"), [("desk80", Form()), ("desk80", Form(ascii=True)), ("desk120", Form())])
def test_a_screen_is_as_it_was_kept(name: str, form: Form) -> None:
    kept = KEPT / f"{name}{'-ascii' if form.ascii else ''}.txt"
    text = "".join(plain(line).rstrip() + "\n" for line in getattr(scenes, name)(form, False))
    assert text == kept.read_text(encoding="utf-8"), f"to keep the new picture, write it to {kept}"


def test_few_style_changes_make_a_screen_cheap_over_a_slow_line() -> None:
    """A run of one look costs one escape sequence, up to 40 bytes in truecolour."""
    for name, most in (("desk80", 220), ("desk120", 310), ("apart120", 360)):
        lines = getattr(scenes, name)(Form(), False)
        assert sum(len(line) for line in lines) <= most
        size = sum(40 + len(span.text.encode()) for line in lines for span in line)
        assert size < 30_000


def test_the_commands_print_the_same_picture() -> None:
    lines = text_chart(A, 79)
    assert len(lines) == 14 and lines[0].endswith("W m⁻² nm⁻¹") and lines[-1].split()[:2] == ["uv", "400"]
    assert all(line.isascii() for line in text_chart([A, scan(sodium())], 60, Form(ascii=True)))
    assert max(len(line) for line in text_chart(A, 60)) <= 60
