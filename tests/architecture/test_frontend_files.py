"""What the frontend's files must hold to, read off the files themselves: nothing here runs a browser."""

import hashlib
import json
import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FRONTEND = ROOT / "frontend"
VENDOR = FRONTEND / "vendor"
OURS = sorted(file for file in FRONTEND.rglob("*.js") if VENDOR not in file.parents)
STYLES = sorted((FRONTEND / "styles").glob("*.css"))
TEXTS = [*OURS, *STYLES, *sorted(FRONTEND.glob("*.html")), FRONTEND / "manifest.webmanifest"]

_IMPORT = re.compile(r'^(?:import|export)\s(?:[^;]*?\sfrom\s)?"([^"]+)";', re.MULTILINE)
_VOID = "area|base|br|col|embed|hr|img|input|link|meta|source|track|wbr"
# Longest first, so that #abcd12 is not taken for #abcd; named colours only where CSS would take them for one.
_COLOUR = re.compile(
    r"#(?:[0-9a-fA-F]{8}|[0-9a-fA-F]{6}|[0-9a-fA-F]{3,4})\b|\b(?:rgba?|hsla?|oklch|oklab|lab|lch|hwb)\("
)
_NAMED_COLOUR = re.compile(
    r"(?:color|background|border[a-z-]*|outline|fill|stroke|shadow)\s*:[^;{]*\b"
    r"(?:white|black|red|green|blue|gr[ae]y|orange|yellow|brown|navy|teal|maroon|silver|purple|pink)\b"
)


def name_of(file: Path) -> str:
    """The file's path as it is written in an import."""
    return file.relative_to(FRONTEND).as_posix()


def code_of(file: Path) -> str:
    """The file without its comments (those that begin a line, and /* … */)."""
    without_blocks = re.sub(r"/\*.*?\*/", "", file.read_text(), flags=re.DOTALL)
    return re.sub(r"^\s*//.*$", "", without_blocks, flags=re.MULTILINE)


def imports_of(file: Path) -> list[str]:
    """What a module imports, as paths inside the frontend."""
    found = _IMPORT.findall(file.read_text())
    assert all(target.startswith((".", "..")) for target in found), f"{name_of(file)} has a bare import"
    return [name_of((file.parent / target).resolve()) for target in found]


def templates_of(source: str) -> list[str]:
    """The text of every html`…` template, with what stands in ${…} cut out, nested templates on their own."""
    found: list[str] = []
    for start in re.finditer(r"html`", source):
        text, depth, place = [], 0, start.end()
        while place < len(source) and not (depth == 0 and source[place] == "`"):
            if source.startswith("${", place):
                depth, place = depth + 1, place + 2
                continue
            if depth and source[place] in "{}":
                depth += 1 if source[place] == "{" else -1
            elif depth and source[place] == "`":
                place = _past_template(source, place + 1)
                continue
            elif depth == 0:
                text.append(source[place])
            place += 1
        found.append("".join(text))
    return found


def _past_template(source: str, place: int) -> int:
    depth = 0
    while not (depth == 0 and source[place] == "`"):
        if source.startswith("${", place):
            depth += 1
        elif depth and source[place] == "}":
            depth -= 1
        elif depth and source[place] == "`":
            place = _past_template(source, place + 1)
            continue
        place += 1
    return place + 1


def test_vendored_files_are_those_the_table_names() -> None:
    rows = dict(
        re.findall(r"^\| (\S+\.js) \|.*\| ([0-9a-f]{64}) \|$", (VENDOR / "README.md").read_text(), re.MULTILINE)
    )
    sums = {file.name: hashlib.sha256(file.read_bytes()).hexdigest() for file in VENDOR.glob("*.js")}
    assert sums == rows


@pytest.mark.parametrize("file", OURS, ids=name_of)
def test_templates_close_every_tag_and_use_no_entities(file: Path) -> None:
    for template in templates_of(file.read_text()):
        open_void = re.findall(rf"<(?:{_VOID})\b[^>]*(?<!/)>", template)
        assert not open_void, f"htm reads on after {open_void}"
        entities = re.findall(r"&(?:[a-z]+|#\d+);", template)
        assert not entities, f"htm shows {entities} as they stand: write the character"


def test_the_template_reader_finds_what_it_must_refuse() -> None:
    source = "html`<p>${a ? html`<br>` : { b: `x` }.b}<input value=${c}>&nbsp;</p>`"
    templates = templates_of(source)
    assert templates == ["<p><input value=>&nbsp;</p>", "<br>"]


@pytest.mark.parametrize("file", TEXTS, ids=name_of)
def test_colours_stand_in_tokens_alone(file: Path) -> None:
    if file.name == "tokens.css":
        return
    source = code_of(file)
    found = _COLOUR.findall(source) + (_NAMED_COLOUR.findall(source) if file.suffix == ".css" else [])
    assert not found


@pytest.mark.parametrize("file", TEXTS, ids=name_of)
def test_nothing_is_fetched_from_elsewhere(file: Path) -> None:
    assert not re.findall(r"""["'(`](?:https?:)?//[a-z]""", file.read_text())


def test_the_page_holds_no_script_or_style_of_its_own() -> None:
    page = (FRONTEND / "index.html").read_text()
    assert not re.findall(r"<script(?![^>]*\bsrc=)", page)
    assert not re.findall(r"<style|\sstyle=|\son[a-z]+=", page)


@pytest.mark.parametrize("file", OURS, ids=name_of)
def test_no_module_is_loaded_late(file: Path) -> None:
    # After an update an old page would get new code.
    assert not re.search(r"\bimport\(", code_of(file))


def _may_import(importer: str, target: str) -> bool:
    folder = importer.split("/")[0] if "/" in importer else ""
    library = target.startswith("vendor/")
    if library:
        return importer == ("offline/healing-db.js" if target == "vendor/idb.js" else "ui.js")
    if folder == "domain":
        return target.startswith("domain/")
    if folder == "offline":
        return target.startswith(("offline/", "domain/"))
    if folder == "parts":
        return not target.startswith(("pages/", "offline/"))
    return True


@pytest.mark.parametrize("file", OURS, ids=name_of)
def test_imports_point_one_way(file: Path) -> None:
    wrong = [target for target in imports_of(file) if not _may_import(name_of(file), target)]
    assert not wrong
    missing = [target for target in imports_of(file) if not (FRONTEND / target).is_file()]
    assert not missing


def test_every_module_is_reached_from_the_start() -> None:
    reached, ahead = set[str](), ["main.js", "later.js", "photo-worker.js"]
    while ahead:
        here = ahead.pop()
        if here not in reached:
            reached.add(here)
            ahead += imports_of(FRONTEND / here)
    classic = {"floor.js", "sw.js", "sw-push.js", "sw-retire.js"}
    only_types = {"domain/types.js", "domain/fish-types.js"}
    assert {name_of(file) for file in OURS} - reached == classic | only_types


def test_the_app_and_the_package_are_one_version() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    assert f'"{project["version"]}"' in (FRONTEND / "store.js").read_text()


def test_every_icon_the_manifest_names_is_there() -> None:
    manifest = json.loads((FRONTEND / "manifest.webmanifest").read_text())
    assert all((FRONTEND / icon["src"].lstrip("/")).is_file() for icon in manifest["icons"])


@pytest.mark.parametrize("file", [*OURS, *STYLES], ids=name_of)
def test_files_stay_readable(file: Path) -> None:
    lines = file.read_text().splitlines()
    assert len(lines) <= 400
    too_wide = [number for number, line in enumerate(lines, 1) if len(line) > 120]
    assert not too_wide


@pytest.mark.parametrize("file", STYLES, ids=name_of)
def test_every_token_used_is_defined(file: Path) -> None:
    defined = set(re.findall(r"^\s*(--[a-z-]+):", (FRONTEND / "styles" / "tokens.css").read_text(), re.MULTILINE))
    assert set(re.findall(r"var\((--[a-z-]+)", file.read_text())) <= defined
