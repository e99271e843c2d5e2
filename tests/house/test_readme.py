"""The README says what the program does: its examples are run, its tables are made from the program's own."""

import importlib.util
import re
from pathlib import Path

import pytest

from spectui.cli.main import COMMANDS
from spectui.files.head import KEYS

_spec = importlib.util.spec_from_file_location("readme", Path(__file__).with_name("readme.py"))
readme = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(readme)
TEXT = readme.README.read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("readme")


@pytest.mark.parametrize(("command", "printed"), readme.examples(TEXT), ids=lambda text: text[:50])
def test_an_example_prints_what_the_readme_shows(command, printed, folder):
    assert readme.run(command, folder) == printed


def test_there_are_examples():
    assert len(readme.examples(TEXT)) >= 6


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_a_heading_and_an_example(command):
    assert f"\n## {command}\n" in TEXT
    assert any(f"spectui {command}" in line for line, _ in readme.examples(TEXT))


def test_the_key_table_is_that_of_the_actions():
    assert readme.keys(TEXT) == TEXT


def test_the_metrics_table_is_the_catalogue():
    assert readme.metrics(TEXT) == TEXT


def test_every_key_of_a_scan_file_is_named():
    for key in KEYS:
        assert f"`{key}`" in TEXT, key


def test_links_within_the_readme_lead_somewhere():
    heads = {re.sub(r"[^a-z0-9 -]", "", h.lower()).replace(" ", "-") for h in re.findall(r"^#+ (.*)$", TEXT, re.M)}
    for target in re.findall(r"\]\(#([^)]*)\)", TEXT):
        assert target in heads
