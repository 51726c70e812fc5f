"""README.md and DEVELOPERS.md say what is so: the files, names, commands and options they mention exist."""

import re
from functools import cache
from pathlib import Path

import pytest

from evenwater.main import run

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
DEVELOPERS = ROOT / "DEVELOPERS.md"
PAGES = [README, DEVELOPERS, ROOT / "seed_scenario" / "README.md"]
LOOKED_IN = (ROOT, ROOT / "backend" / "evenwater", ROOT / "backend" / "evenwater" / "domain", ROOT / "frontend")

_ENDING = re.compile(r"\.(?:py|js|json|css|csv|html|md|png|sql|toml)$")
_CODE = re.compile(r"`([^`\n]+)`")
COMMANDS = (
    *("serve", "backup", "restore", "check", "export", "import", "reckon", "erase"),
    *("people list", "people add", "people reset", "mail set-password", "mail test"),
)
# Words the pages set in code letters that are another program's, or stand for one of many.
_NOT_OURS = {"import()", "TYPE_CHECKING", "Meta", "NAME"}


def parts(page: Path) -> tuple[str, list[str]]:
    """The page's running text, and its fenced blocks."""
    pieces = re.split(r"^```.*$\n", page.read_text(encoding="utf-8"), flags=re.MULTILINE)
    return "".join(pieces[::2]), pieces[1::2]


def code_words(page: Path) -> list[str]:
    return _CODE.findall(parts(page)[0])


def paths_named(page: Path) -> set[str]:
    """What looks like a file or folder in running text, without patterns and without paths asked of the server."""
    words = (word for word in code_words(page) if " " not in word and not set(word) & set("…*=<") and word[0] != "/")
    return {word for word in words if (_ENDING.search(word) or word.endswith("/")) and "NAME" not in word}


def exists(name: str, beside: Path) -> bool:
    return any((folder / name).exists() for folder in (*LOOKED_IN, beside))


def tree_paths() -> set[str]:
    """Every file and folder of the tree drawn in DEVELOPERS.md, as a path from the root."""
    drawn = next(block for block in parts(DEVELOPERS)[1] if block.startswith("README.md "))
    found: set[str] = set()
    above: dict[int, str] = {-2: ""}
    for line in drawn.splitlines():
        depth = len(line) - len(line.lstrip())
        if depth > 8:
            continue  # a description that runs on
        names = re.match(r"((?:[\w.]+/? ?)+)(?:  |$)", line.strip())
        assert names, line
        parent = above[max(key for key in above if key < depth)]
        for name in names[1].split():
            found.add(parent + name)
            above = {key: value for key, value in above.items() if key < depth} | {depth: parent + name}
    return found


@cache
def source() -> str:
    folders = ("backend/evenwater", "frontend", "tests", "seed_scenario")
    files = [file for folder in folders for file in (ROOT / folder).rglob("*") if file.suffix in {".py", ".js", ".sql"}]
    return "\n".join(file.read_text(encoding="utf-8") for file in files if file.resolve() != Path(__file__).resolve())


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_every_file_a_page_names_exists(page: Path):
    assert paths_named(page)
    assert [name for name in sorted(paths_named(page)) if not exists(name, page.parent)] == []


def test_everything_the_tree_draws_exists():
    drawn = tree_paths()
    assert len(drawn) > 40
    assert [name for name in sorted(drawn) if not (ROOT / name).exists()] == []


@pytest.mark.parametrize("folder", ["backend/evenwater", "frontend", "tests"])
def test_the_tree_draws_every_folder(folder: str):
    there = {
        f"{folder}/{one.name}/"
        for one in (ROOT / folder).iterdir()
        if one.is_dir() and not one.name.startswith((".", "_")) and any(one.rglob("*.*"))
    }
    assert there - tree_paths() == set()


def test_the_tree_draws_every_package():
    there = {f"{one.parent.relative_to(ROOT)}/" for one in (LOOKED_IN[1]).rglob("__init__.py")}
    assert len(there) > 30
    assert there - tree_paths() == set()


def test_every_name_set_in_code_letters_stands_in_the_source():
    names = {word for word in code_words(DEVELOPERS) if re.fullmatch(r"[A-Za-z_]\w+(\(\.\.\.\))?", word)} - _NOT_OURS
    assert len(names) > 30
    assert [name for name in sorted(names) if not re.search(rf"\b{name.partition('(')[0]}\b", source())] == []


@pytest.mark.parametrize("command", ["python3 backend --example", "python3 tests"])
def test_the_two_commands_stand_in_the_readme(command: str):
    assert command in "".join(parts(README)[1])


def test_every_option_a_page_shows_is_one_the_command_has(capsys: pytest.CaptureFixture[str]):
    for more in ([], *(one.split() for one in COMMANDS)):
        with pytest.raises(SystemExit, match="0"):
            run([*more, "--help"])
    said = capsys.readouterr().out
    said += "".join((ROOT / "tests" / one).read_text() for one in ("__main__.py", "bench/__main__.py", "conftest.py"))
    text = README.read_text(encoding="utf-8") + DEVELOPERS.read_text(encoding="utf-8")
    shown = set(re.findall(r"(?<![\w-])--[a-z][a-z-]+", text))
    assert "--example" in shown
    assert [option for option in sorted(shown) if option not in said] == []


def test_the_readme_begins_with_the_job_and_then_a_picture():
    title, job, picture = README.read_text(encoding="utf-8").split("\n\n")[:3]
    assert title == "# evenwater"
    assert len(job.split()) > 60
    shown = re.match(r"!\[[^\]]+\]\(([^)]+)\)|<img [^>]*src=\"([^\"]+)\"", picture)
    assert shown
    assert 5_000 < (ROOT / (shown[1] or shown[2])).stat().st_size < 150_000
