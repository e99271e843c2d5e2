from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from spectui.core.errors import FileError
from spectui.files import atomic
from spectui.files.atomic import write_text


def test_writes_utf8_with_lf_and_leaves_nothing_else(tmp_path: Path) -> None:
    write_text(tmp_path / "a.csv", "µ\n1,2\n")
    assert (tmp_path / "a.csv").read_bytes() == "µ\n1,2\n".encode()
    assert os.listdir(tmp_path) == ["a.csv"]


def test_a_name_in_the_current_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    write_text("a.csv", "x")
    assert (tmp_path / "a.csv").read_text() == "x"


def test_refuses_an_existing_file_unless_forced(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text("old")
    with pytest.raises(FileError, match="--force"):
        write_text(path, "new")
    assert path.read_text() == "old"
    write_text(path, "new", force=True)
    assert path.read_text() == "new"
    assert os.listdir(tmp_path) == ["a.csv"]


def test_a_file_that_appears_meanwhile_is_not_overwritten(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a.csv"
    real = os.fsync

    def late(handle: int) -> None:
        path.write_text("theirs")
        real(handle)

    monkeypatch.setattr(os, "fsync", late)
    with pytest.raises(FileError, match="--force"):
        write_text(path, "ours")
    assert path.read_text() == "theirs"
    assert os.listdir(tmp_path) == ["a.csv"]


@pytest.mark.parametrize("force", [False, True])
def test_a_file_system_without_hard_links(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, force: bool) -> None:
    def no_link(*_: object, **__: object) -> None:
        raise OSError(errno.EPERM, "not permitted")

    monkeypatch.setattr(os, "link", no_link)
    path = tmp_path / "a.csv"
    write_text(path, "one", force=force)
    assert path.read_text() == "one"
    with pytest.raises(FileError, match="--force"):
        write_text(path, "two")
    assert os.listdir(tmp_path) == ["a.csv"]


@pytest.mark.parametrize("step", ["fsync", "link", "replace"])
def test_a_full_disk_leaves_the_old_file_and_no_temporary(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    path = tmp_path / "a.csv"
    force = step != "link"
    if force:
        path.write_text("old")

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, step, full)
    if step == "link":
        monkeypatch.setattr(os, "rename", full)
    with pytest.raises(FileError, match="No space left"):
        write_text(path, "new", force=force)
    assert os.listdir(tmp_path) == (["a.csv"] if force else [])
    assert not force or path.read_text() == "old"


def test_a_device_is_refused_even_with_force(tmp_path: Path) -> None:
    if not os.path.exists("/dev/full"):
        pytest.skip("no /dev/full here")
    with pytest.raises(FileError, match="device"):
        write_text("/dev/full", "x", force=True)
    assert stat.S_ISCHR(os.stat("/dev/full").st_mode)


def test_a_symbolic_link_is_refused_and_with_force_replaced_never_followed(tmp_path: Path) -> None:
    aim = tmp_path / "aim.csv"
    aim.write_text("precious")
    link = tmp_path / "link.csv"
    link.symlink_to(aim)
    with pytest.raises(FileError, match="exists"):
        write_text(link, "new")
    write_text(link, "new", force=True)
    assert aim.read_text() == "precious"
    assert not link.is_symlink() and link.read_text() == "new"


def test_a_dangling_link_counts_as_existing(tmp_path: Path) -> None:
    link = tmp_path / "link.csv"
    link.symlink_to(tmp_path / "nowhere")
    with pytest.raises(FileError, match="exists"):
        write_text(link, "new")
    assert not (tmp_path / "nowhere").exists()


@pytest.mark.parametrize("force", [False, True])
def test_folders_and_missing_folders_are_told(tmp_path: Path, force: bool) -> None:
    with pytest.raises(FileError, match="folder"):
        write_text(tmp_path, "x", force=force)
    with pytest.raises(FileError, match="folder"):
        write_text(f"{tmp_path}/", "x", force=force)
    with pytest.raises(FileError, match="No such file"):
        write_text(tmp_path / "no" / "a.csv", "x", force=force)
    assert os.listdir(tmp_path) == []


def test_permissions_follow_the_old_file_else_the_umask(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    before = os.umask(0o027)
    try:
        write_text(path, "one")
    finally:
        os.umask(before)
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    path.chmod(0o600)
    write_text(path, "two", force=True)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_text_that_is_no_utf8_and_names_that_are_no_names(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="character 2"):
        write_text(tmp_path / "a.csv", "a\ud800")
    with pytest.raises(FileError):
        write_text(f"{tmp_path}/a\0b", "x")
    assert os.listdir(tmp_path) == []


def test_the_file_is_on_disk_before_it_has_its_name_and_the_folder_after(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    order: list[str] = []
    path = tmp_path / "a.csv"
    real = os.fsync

    def watch(handle: int) -> None:
        kind = "folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file"
        order.append(f"{kind} {'named' if path.exists() else 'unnamed'}")
        real(handle)

    monkeypatch.setattr(os, "fsync", watch)
    write_text(path, "x")
    assert order == ["file unnamed", "folder named"]


def test_refuse_existing_answers_before_anything_is_written(tmp_path: Path) -> None:
    atomic.refuse_existing(tmp_path / "free.csv")
    (tmp_path / "a.csv").write_text("x")
    atomic.refuse_existing(tmp_path / "a.csv", force=True)
    with pytest.raises(FileError, match="--force"):
        atomic.refuse_existing(tmp_path / "a.csv")


def test_a_disk_that_really_takes_no_more(tmp_path: Path) -> None:
    resource = pytest.importorskip("resource")
    assert resource.RLIMIT_FSIZE is not None
    script = (
        "import resource, signal, sys\n"
        "from spectui.core.errors import FileError\n"
        "from spectui.files.atomic import write_text\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))\n"
        "try:\n    write_text(sys.argv[1], 'x' * 100_000, force=True)\n"
        "except FileError as error:\n    print(error)\n"
    )
    path = tmp_path / "a.csv"
    path.write_text("old")
    done = subprocess.run([sys.executable, "-c", script, str(path)], capture_output=True, text=True, check=True)
    assert "cannot be written: File too large" in done.stdout
    assert path.read_text() == "old" and os.listdir(tmp_path) == ["a.csv"]
