"""A backup that was changed, cut off or made to harm: refused in words, and nothing outside its folder is touched."""

import hashlib
import stat
import zipfile
from datetime import UTC, datetime
from pathlib import Path

import msgspec
import pytest

from evenwater.storage.backup_file import BackupReader, BackupWriter, Manifest, Member
from evenwater.storage.errors import BadBackup

SUM = "ab" + "0" * 62
PHOTO = f"photos/ab/{SUM}.jpg"


def manifest_of(members: tuple[Member, ...], **more: object) -> Manifest:
    told = {
        "format": 1,
        "made_at": datetime(2026, 11, 26, tzinfo=UTC),
        "version": "0.1.0",
        "schema_number": 1,
        "epoch": "e",
        "last_seq": 3,
        "last_at": None,
        "photos": 0,
        "members": members,
    }
    return Manifest(**(told | more))  # type: ignore[arg-type]


def member(name: str, content: bytes) -> Member:
    return Member(name, len(content), hashlib.sha256(content).hexdigest())


@pytest.fixture
def whole(tmp_path: Path) -> Path:
    """A backup as it is made, of a file that stands for the database and one photo."""
    file, source = tmp_path / "whole.zip", tmp_path / "source"
    writer = BackupWriter(file)
    for name, content in (("evenwater.sqlite", b"a log" * 5000), (PHOTO, b"a picture")):
        source.write_bytes(content)
        writer.add(name, source, packed=True)
    writer.finish(manifest_of(writer.members))
    writer.close()
    return file


def made(file: Path, *files: tuple[str, bytes], told: Manifest | None = None, mode: int = stat.S_IFREG) -> Path:
    """A backup as somebody else might make one; `told`: what its manifest says."""
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as out:
        for name, content in files:
            about = zipfile.ZipInfo(name)
            about.compress_type = zipfile.ZIP_DEFLATED
            about.external_attr = (mode | 0o600) << 16
            out.writestr(about, content)
        told = told or manifest_of(tuple(member(*one) for one in files))
        out.writestr("manifest.json", msgspec.json.encode(told))
    return file


def refusal(file: Path, into: Path) -> str:
    with pytest.raises(BadBackup) as refused, BackupReader(file) as backup:
        backup.unpack(into)
    return str(refused.value)


DATABASE = ("evenwater.sqlite", b"a log")


def test_what_was_packed_comes_out_as_it_was_and_for_this_account_alone(whole, tmp_path):
    with BackupReader(whole) as backup:
        backup.unpack(tmp_path / "out")
    assert (tmp_path / "out" / "evenwater.sqlite").read_bytes() == b"a log" * 5000
    photo = tmp_path / "out" / PHOTO
    assert photo.read_bytes() == b"a picture"
    assert stat.S_IMODE(photo.stat().st_mode) == 0o600


@pytest.mark.parametrize(
    "name",
    [
        "../outside.txt",
        "/etc/outside",
        "photos/../../outside.jpg",
        f"photos/cd/{SUM}.jpg",
        "secrets/smtp-password",
        "photos\\..\\outside",
        "evenwater.sqlite-wal",
    ],
)
def test_a_name_that_is_none_of_ours_is_refused_before_anything_is_written(name, tmp_path):
    file = made(tmp_path / "bad.zip", DATABASE, (name, b"out"))
    before = set(tmp_path.rglob("*"))
    assert "no file of a household" in refusal(file, tmp_path / "in" / "out")
    assert set(tmp_path.rglob("*")) == before


def test_one_that_another_program_packed_anew_is_taken(tmp_path):
    with BackupReader(made(tmp_path / "anew.zip", DATABASE, mode=0)) as backup:
        backup.unpack(tmp_path / "out")
    assert (tmp_path / "out" / "evenwater.sqlite").read_bytes() == DATABASE[1]


@pytest.mark.parametrize("kind", [stat.S_IFLNK, stat.S_IFCHR, stat.S_IFIFO])
def test_a_link_or_device_is_refused(kind, tmp_path):
    file = made(tmp_path / "bad.zip", DATABASE, (PHOTO, b"/etc/passwd"), mode=kind)
    assert "a link or a device" in refusal(file, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_no_more_is_unpacked_than_the_manifest_says(tmp_path):
    zeros = b"\0" * 50_000_000
    file = made(tmp_path / "bomb.zip", ("evenwater.sqlite", zeros), told=manifest_of((member(*DATABASE),)))
    assert file.stat().st_size < 100_000
    assert "not as the manifest.json says" in refusal(file, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_head_that_lies_about_its_size_unpacks_no_more_than_it_says(tmp_path):
    """The directory at the archive's end says 5 bytes, and so does the manifest; the member holds fifty million."""
    file = made(tmp_path / "bomb.zip", ("evenwater.sqlite", b"\0" * 50_000_000), told=manifest_of((member(*DATABASE),)))
    raw = bytearray(file.read_bytes())
    at = raw.rindex(b"PK\x01\x02", 0, raw.rindex(b"PK\x01\x02"))
    raw[at + 24 : at + 28] = (5).to_bytes(4, "little")
    file.write_bytes(raw)
    assert "evenwater.sqlite" in refusal(file, tmp_path / "out")
    assert sum(one.stat().st_size for one in (tmp_path / "out").rglob("*")) <= 5


def test_a_changed_byte_is_found(whole, tmp_path):
    raw = bytearray(whole.read_bytes())
    raw[raw.index(b"evenwater.sqlite") + 30] ^= 1
    whole.write_bytes(raw)
    assert "evenwater.sqlite" in refusal(whole, tmp_path / "out")


def test_content_that_is_another_with_its_own_sum_in_order_is_found_by_the_manifest(tmp_path):
    file = made(tmp_path / "bad.zip", ("evenwater.sqlite", b"a lie"), told=manifest_of((member(*DATABASE),)))
    assert "its bytes have changed" in refusal(file, tmp_path / "out")


@pytest.mark.parametrize("at", [0, 45])
def test_a_photo_that_has_rotted_is_left_out_and_told_and_the_rest_comes_out(at, whole, tmp_path):
    """A bit of its head, or of the picture."""
    raw = bytearray(whole.read_bytes())
    raw[raw.index(b"PK\x03\x04", 10) + at] ^= 1
    whole.write_bytes(raw)
    with BackupReader(whole) as backup:
        assert backup.unpack(tmp_path / "out") == (SUM,)
    assert [one.name for one in (tmp_path / "out").rglob("*") if one.is_file()] == ["evenwater.sqlite"]


def test_a_backup_that_was_cut_off_is_refused_wherever_it_was_cut(whole, tmp_path):
    content = whole.read_bytes()
    cut = tmp_path / "cut.zip"
    for n, length in enumerate(range(0, len(content), max(1, len(content) // 40))):
        cut.write_bytes(content[:length])
        assert "cut off" in refusal(cut, tmp_path / f"out-{n}")


@pytest.mark.parametrize(
    ("files", "told", "says"),
    [
        ((DATABASE, (PHOTO, b"x")), manifest_of((member(*DATABASE),)), "not as the manifest.json says"),
        ((DATABASE,), manifest_of((member(*DATABASE), member(PHOTO, b"x"))), "is missing"),
        (((PHOTO, b"x"),), manifest_of((member(PHOTO, b"x"),)), "does not name evenwater.sqlite"),
        ((DATABASE,), manifest_of((member(*DATABASE),), format=2, version="9.9"), "a newer version (9.9)"),
    ],
)
def test_a_manifest_that_does_not_fit_is_refused(files, told, says, tmp_path):
    assert says in refusal(made(tmp_path / "bad.zip", *files, told=told), tmp_path / "out")


def test_what_is_no_backup_at_all_is_told_so(tmp_path):
    other = tmp_path / "other.zip"
    with zipfile.ZipFile(other, "w") as out:
        out.writestr("holiday.txt", "sun")
    assert "no backup of this program" in refusal(other, tmp_path / "out")
    (tmp_path / "text").write_text("not an archive")
    assert "no backup, or it was cut off" in refusal(tmp_path / "text", tmp_path / "out")
    assert "there is no file" in refusal(tmp_path / "nothing", tmp_path / "out")
    with zipfile.ZipFile(other, "w") as out:
        out.writestr("manifest.json", b'{"format": "one"}')
    assert "cannot be read" in refusal(other, tmp_path / "out")


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_one_name_twice_is_refused(tmp_path):
    assert "one name" in refusal(made(tmp_path / "bad.zip", DATABASE, DATABASE), tmp_path / "out")
