"""The frontend as it is served, and the worker's list of it."""

import base64
import gzip
import hashlib
import json
import re
from pathlib import Path

import pytest

from evenwater.web.assets import load_assets


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "parts").mkdir()
    (tmp_path / "index.html").write_text('<!doctype html><head><script type="module" src="/main.js"></script></head>')
    (tmp_path / "main.js").write_text('import { b } from "./parts/card.js";\nglobalThis.a = b;\n')
    (tmp_path / "parts" / "card.js").write_text("export const b = 2;")
    (tmp_path / "sw.js").write_text('const FILES = __MANIFEST__; const BUILD = "__BUILD__";')
    (tmp_path / ".hidden").write_text("x")
    (tmp_path / "jsconfig.json").write_text("{}")
    return tmp_path


def worker(folder: Path) -> tuple[dict[str, str], str]:
    text = load_assets(folder)["/sw.js"].content.decode()
    return dict(json.loads(re.search(r"FILES = (.*?);", text)[1])), re.search(r'BUILD = "(.*?)"', text)[1]


def test_the_worker_lists_every_file_with_its_sum_and_not_itself(folder):
    files, _ = worker(folder)
    assert set(files) == {"/", "/main.js"}
    digest = hashlib.sha256(load_assets(folder)["/main.js"].content).digest()
    assert files["/main.js"] == "sha256-" + base64.b64encode(digest).decode()


def test_a_change_in_any_file_makes_another_build(folder):
    _, before = worker(folder)
    (folder / "parts" / "card.js").write_text("export const b = 3;")
    _, after = worker(folder)
    assert before != after


def test_modules_and_sheets_go_out_as_one_of_each(folder):
    links = '<link rel="stylesheet" href="/one.css">\n<link rel="stylesheet" href="/two.css">\n'
    (folder / "index.html").write_text(links)
    (folder / "one.css").write_text("a {}\n")
    (folder / "two.css").write_text("b {}\n")
    assets = load_assets(folder)
    assert set(assets) == {"/index.html", "/main.js", "/styles/screen.css", "/sw.js"}
    assert assets["/styles/screen.css"].content == b"a {}\nb {}\n"
    assert b"const b = 2;" in assets["/main.js"].content


def test_the_first_script_knows_the_sum_of_the_second(folder):
    (folder / "main.js").write_text('import { b } from "./parts/card.js";\nglobalThis.sum = "__LATER__" + b;\n')
    (folder / "later.js").write_text('import { b } from "./parts/card.js";\nglobalThis.c = b;\n')
    assets, (files, _) = load_assets(folder), worker(folder)
    assert f'"{files["/later.js"]}"' in assets["/main.js"].content.decode()
    assert b"const b = 2;" not in assets["/later.js"].content


def test_sheets_of_later_pages_go_out_as_one_whose_sum_the_first_script_knows(folder):
    (folder / "index.html").write_text('<link rel="stylesheet" href="/one.css" data-later>\n')
    (folder / "one.css").write_text("a {}\n")
    (folder / "main.js").write_text('globalThis.sum = "__LATER_STYLES__";\n')
    assets, (files, _) = load_assets(folder), worker(folder)
    assert assets["/index.html"].content == b""
    assert assets["/styles/later.css"].content == b"a {}\n"
    assert f'"{files["/styles/later.css"]}"' in assets["/main.js"].content.decode()


async def test_a_deep_link_gets_the_shell_and_an_unknown_file_does_not(client):
    shell = await client.get("/")
    assert shell.headers["content-type"].startswith("text/html")
    assert (await client.get("/water")).content == shell.content
    missing = await client.get("/nothing.js")
    assert (missing.status_code, missing.json()["code"]) == (404, "not_found")


async def test_a_path_out_of_the_folder_finds_nothing(client):
    for path in ("/../pyproject.toml", "/%2e%2e/pyproject.toml", "/..%2fpyproject.toml"):
        assert (await client.get(path)).status_code in (400, 404)


def test_comments_on_lines_of_their_own_types_and_indents_stay_at_home_and_everything_else_goes_out(folder):
    written = """// Says why.
/** What it does.
 * @param {string} a */
export const url = "https://x"; // stays: it is not a line of its own
  // gone
export const b = 1;
export const c = { // stays
    d: /** @type {any} */ (b),
};
"""
    (folder / "vendor").mkdir()
    (folder / "vendor" / "theirs.js").write_text("// their licence\nexport const e = 1;\n")
    (folder / "main.js").write_text('import { e } from "./vendor/theirs.js";\n' + written)
    served = load_assets(folder)["/main.js"].content.decode()
    assert 'const url = "https://x"; // stays: it is not a line of its own\nconst b = 1;\n' in served
    assert "const c = { // stays\n d: (b),\n};\n" in served
    assert "// their licence\n" in served
    assert not {"Says why", "What it does", "gone"} & set(re.findall(r"Says why|What it does|gone", served))


def test_a_first_load_is_light():
    # 60 kB is our own limit for everything the shell asks for, as a browser is sent it.
    assets = load_assets(Path(__file__).parents[2] / "frontend")
    shell = assets["/index.html"].content.decode()
    asked = {"/index.html", "/sw.js", *re.findall(r'(?:href|src)="(/[^"]+\.(?:js|css|svg|webmanifest))"', shell)}
    weight = sum(len(assets[path].packed["br"]) for path in asked)
    assert weight <= 60_000, f"{weight} bytes in {len(asked)} files"


async def test_text_goes_out_compressed_and_unchanged_files_not_at_all(client):
    answer = await client.get("/main.js", headers={"Accept-Encoding": "gzip"})
    assert answer.headers["content-encoding"] == "gzip"
    assert len(gzip.compress(answer.content, 9)) <= len(answer.content)
    again = await client.get("/main.js", headers={"If-None-Match": answer.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")


async def test_the_worker_is_asked_for_anew_each_time(client):
    answer = await client.get("/sw.js")
    assert answer.headers["cache-control"] == "no-cache"
    assert answer.headers["content-type"] == "text/javascript; charset=utf-8"


async def test_a_script_is_light_of_headers_and_a_worker_says_its_own_policy(client):
    script, worker = await client.get("/main.js"), await client.get("/sw.js")
    assert script.headers["x-content-type-options"] == worker.headers["x-content-type-options"] == "nosniff"
    assert "content-security-policy" not in script.headers
    assert worker.headers["content-security-policy"].startswith("default-src 'self'")
