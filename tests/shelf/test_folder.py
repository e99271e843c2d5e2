"""Walking folders: path order, what is left out, what is told, and that one bad file hides nothing."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from spectui.core.errors import UsageError
from spectui.shelf import folder
from spectui.shelf.folder import Found, entries, find, load, walk

SCAN = "# title: {}\n# unit: W/m2/nm\n400,1\n500,2\n600,3\n"


def scan(path: Path, title: str = "a lamp") -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(SCAN.format(title))
    return path


def names(found: list[Path], root: Path) -> list[str]:
    return [str(path.relative_to(root)) for path in found]


def test_files_come_by_path_and_hidden_and_other_content_is_left_out(tmp_path):
    for name in ("b.csv", "a/2.csv", "a/10.csv", "a.csv", ".hidden.csv", ".git/x.csv", "c/d/e.txt"):
        scan(tmp_path / name)
    for name in ("photo.jpg", "notes.md", "spectui-layout.toml", "b.csv.spectui.toml", "tool.py"):
        (tmp_path / name).write_text("")
    expected = ["a/10.csv", "a/2.csv", "a.csv", "b.csv", "c/d/e.txt"]
    assert names(walk([tmp_path]), tmp_path) == expected


def test_arguments_keep_their_order_and_a_path_named_twice_comes_twice(tmp_path):
    one, two = scan(tmp_path / "1.csv"), scan(tmp_path / "2.csv")
    assert walk([two, one, two]) == [two, one, two]


def test_the_source_is_the_path_as_given(tmp_path, monkeypatch):
    scan(tmp_path / "in" / "a.csv")
    monkeypatch.chdir(tmp_path)
    assert [entry.source for entry in entries(["./in", "in/a.csv", "./in/a.csv"])] == [
        "./in/a.csv",
        "in/a.csv",
        "./in/a.csv",
    ]
    assert [entry.scan.source for entry in entries(["./in"])] == ["./in/a.csv"]


def test_content_that_is_no_scan_is_passed_over_in_a_folder_and_told_when_named(tmp_path):
    picture = tmp_path / "picture"
    picture.write_bytes(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + bytes(64))
    scan(tmp_path / "z.csv")
    assert [entry.path.name for entry in entries([tmp_path])] == ["z.csv"]
    named = list(entries([picture]))
    assert len(named) == 1 and named[0].scan is None
    assert "expected a scan" in named[0].error


def test_a_broken_scan_is_an_entry_and_the_others_are_there(tmp_path):
    scan(tmp_path / "1.csv", "first")
    (tmp_path / "2.csv").write_text("# unit: W/m2/nm\n400,1\n500,\n600,3\n")
    scan(tmp_path / "3.csv", "third")
    found = list(entries([tmp_path]))
    assert [entry.scan.title if entry.scan else None for entry in found] == ["first", None, "third"]
    assert "line 3" in found[1].error
    assert [e.scan is not None for e in entries([tmp_path], skip_gaps=True)] == [True, True, True]


def test_a_file_with_several_scans_gives_several_entries(tmp_path):
    (tmp_path / "two.csv").write_text("# unit: W/m2/nm\nnm,left,right\n400,1,4\n500,2,5\n600,3,6\n")
    found = list(entries([tmp_path]))
    assert [(entry.index, entry.scan.title) for entry in found] == [(0, "left"), (1, "right")]


def test_a_path_that_is_not_there_and_a_link_to_nothing_are_told(tmp_path):
    (tmp_path / "dangling").symlink_to(tmp_path / "gone.csv")
    told = list(entries([tmp_path / "no.csv", tmp_path / "dangling"]))
    assert [entry.error for entry in told] == ["no such file or folder", "a link to nothing"]
    assert list(entries([tmp_path])) == []


def test_a_loop_of_links_ends_and_links_to_scans_count(tmp_path):
    real = scan(tmp_path / "in" / "a.csv")
    (tmp_path / "in" / "up").symlink_to(tmp_path)
    (tmp_path / "in" / "self").symlink_to("self")
    (tmp_path / "link.csv").symlink_to(real)
    assert names(walk([tmp_path]), tmp_path) == ["in/a.csv", "link.csv"]


def test_a_pipe_in_a_folder_is_left_out_and_does_not_block(tmp_path):
    os.mkfifo(tmp_path / "pipe.csv")
    scan(tmp_path / "a.csv")
    assert names(walk([tmp_path]), tmp_path) == ["a.csv"]
    assert "regular file" in next(iter(entries([tmp_path / "pipe.csv"]))).error


def test_a_folder_that_cannot_be_listed_is_told_and_the_rest_comes(tmp_path, monkeypatch):
    scan(tmp_path / "shut" / "a.csv")
    scan(tmp_path / "z.csv")
    real = os.scandir

    def refusing(path):
        if str(path).endswith("shut"):
            raise PermissionError(13, "Permission denied", path)
        return real(path)

    monkeypatch.setattr(folder.os, "scandir", refusing)
    found = list(entries([tmp_path]))
    assert [(entry.path.name, entry.error) for entry in found] == [
        ("shut", "cannot be listed: Permission denied"),
        ("z.csv", None),
    ]


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read_is_told(tmp_path):
    scan(tmp_path / "a.csv").chmod(0)
    assert "Permission denied" in next(iter(entries([tmp_path]))).error


def test_rows_come_while_the_walk_goes_on(tmp_path, monkeypatch):
    for name in ("a/1.csv", "b/1.csv"):
        scan(tmp_path / name)
    listed = []
    real = os.scandir
    monkeypatch.setattr(folder.os, "scandir", lambda path: listed.append(str(path)) or real(path))
    first = next(iter(entries([tmp_path])))
    assert first.path == tmp_path / "a" / "1.csv"
    assert listed == [str(tmp_path), str(tmp_path / "a")]


def test_ten_thousand_files_cost_one_listing_and_no_look_at_a_file(tmp_path, monkeypatch):
    for number in range(10_000):
        (tmp_path / f"{number:05d}.csv").touch()
    calls = []
    real = os.scandir
    monkeypatch.setattr(folder.os, "scandir", lambda path: calls.append(path) or real(path))
    monkeypatch.setattr(folder.os.path, "exists", lambda path: pytest.fail("looked for one file"))
    monkeypatch.setattr(folder, "open", lambda *_: pytest.fail("opened a file"), raising=False)
    found = list(find([tmp_path]))
    assert len(found) == 10_000
    assert not any(f.said or f.named for f in found)
    assert len(calls) == 1


def test_a_sidecar_is_seen_in_the_listing(tmp_path):
    scan(tmp_path / "a.csv")
    scan(tmp_path / "b.csv")
    (tmp_path / "b.csv.spectui.toml").write_text("")
    assert list(find([tmp_path])) == [Found(f"{tmp_path}/a.csv"), Found(f"{tmp_path}/b.csv", said=True)]


def test_a_malformed_layout_is_the_callers_error_and_no_row(tmp_path):
    (tmp_path / "layout.toml").write_text("this is no TOML")
    with pytest.raises(UsageError):
        load(scan(tmp_path / "a.csv"), layout=tmp_path / "layout.toml")
