"""Secrets in files: made once, for this account alone, replaced whole."""

import os
import sys

import pytest

from evenwater.storage.secret_files import read_or_make, read_secret, write_secret

not_on_windows = pytest.mark.skipif(sys.platform == "win32", reason="Windows keeps rights another way (2026-11-25)")


def test_a_secret_is_made_once_and_read_ever_after(tmp_path):
    made = iter([b"first", b"second"])
    path = tmp_path / "secrets" / "key"
    assert [read_or_make(path, lambda: next(made)) for _ in range(3)] == [b"first"] * 3
    assert next(made) == b"second"


def test_a_file_cut_to_nothing_counts_as_none(tmp_path):
    path = tmp_path / "key"
    path.touch()
    assert read_secret(path) is None
    assert read_or_make(path, lambda: b"anew") == b"anew"


@not_on_windows
def test_file_and_folder_are_for_this_account_alone(tmp_path):
    tmp_path.chmod(0o755)
    (tmp_path / "secrets").mkdir(mode=0o755)
    path = tmp_path / "secrets" / "key"
    before = os.umask(0)
    try:
        write_secret(path, b"x")
    finally:
        os.umask(before)
    assert (path.stat().st_mode & 0o777, path.parent.stat().st_mode & 0o777) == (0o600, 0o700)


@not_on_windows
def test_a_copy_that_came_back_open_is_shut_again(tmp_path):
    path = tmp_path / "key"
    path.write_bytes(b"x")
    path.chmod(0o644)
    assert read_secret(path) == b"x"
    assert path.stat().st_mode & 0o777 == 0o600


def test_a_write_that_fails_leaves_the_old_secret_and_nothing_beside_it(tmp_path):
    path = tmp_path / "secrets" / "key"
    write_secret(path, b"old")
    with pytest.raises(TypeError):
        write_secret(path, "no bytes")  # type: ignore[arg-type]
    assert read_secret(path) == b"old"
    assert [one.name for one in path.parent.iterdir()] == ["key"]
