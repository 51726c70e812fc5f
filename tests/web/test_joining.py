"""The modules as one script: what it cannot do it says. A browser tells in journeys that it does what they do."""

import json
from pathlib import Path

import pytest

from evenwater.web.joining import NotJoinable, joined_modules, joined_sheets

SOURCES = {"/main.js": "", "/vendor/listed.js": "var a=4,b=5;export{a as d,b as five};"}


@pytest.mark.parametrize(
    "wrong",
    [
        'import * as all from "./vendor/listed.js";',
        'import "./vendor/listed.js";',
        'const late = await import("./vendor/listed.js");',
        'export * from "./vendor/listed.js";',
        'export { five } from "./vendor/listed.js";',
        "export let count = 1;",
        "export default 3;",
        "const here = import.meta.url;",
    ],
)
def test_a_form_it_does_not_know_is_an_error_and_names_the_module(wrong: str) -> None:
    with pytest.raises(NotJoinable, match=r"^/main\.js: cannot join "):
        joined_modules({**SOURCES, "/main.js": wrong + "\n"}, "/main.js")


def test_imports_in_a_ring_and_imports_of_nothing_are_errors() -> None:
    ring = {"/a.js": 'import { b } from "./b.js";\n', "/b.js": 'import { a } from "./a.js";\n'}
    with pytest.raises(NotJoinable, match=r"/a\.js → /b\.js → /a\.js"):
        joined_modules(ring, "/a.js")
    with pytest.raises(NotJoinable, match=r"/a\.js imports /b\.js, which is not there"):
        joined_modules({"/a.js": ring["/a.js"]}, "/a.js")


def test_a_name_that_is_not_exported_is_an_error() -> None:
    sources = {**SOURCES, "/main.js": 'import { six } from "./vendor/listed.js";\n'}
    with pytest.raises(NotJoinable, match=r"/main\.js imports six, which /vendor/listed\.js does not export"):
        joined_modules(sources, "/main.js")


def test_a_second_script_brings_only_what_the_first_has_not() -> None:
    sources = {
        "/main.js": 'import { a } from "./a.js";\na();\n',
        "/a.js": "export function a() {}\n",
        "/b.js": "export const b = 1;\n",
        "/later.js": 'import { a } from "./a.js";\nimport { b } from "./b.js";\na(b);\n',
    }
    second = joined_modules(sources, "/later.js", after="/main.js")
    assert second.startswith('import { modules } from "/main.js";\n')
    assert [path for path in sources if f'modules["{path}"] = ' in second] == ["/b.js", "/later.js"]
    assert 'const { a } = modules["/a.js"];' in second


def test_sheets_keep_their_order_and_one_for_paper_stays_apart() -> None:
    shell = (
        '<head>\n  <link rel="stylesheet" href="/b.css">\n  <link rel="stylesheet" href="/a.css">\n'
        '  <link rel="stylesheet" href="/c.css" data-later>\n'
        '  <link rel="stylesheet" href="/print.css" media="print">\n</head>'
    )
    joined, sheets, later = joined_sheets(shell, "/all.css")
    assert (sheets, later) == (["/b.css", "/a.css"], ["/c.css"])
    assert joined == (
        '<head>\n  <link rel="stylesheet" href="/all.css">\n'
        '  <link rel="stylesheet" href="/print.css" media="print">\n</head>'
    )


def test_the_app_has_no_module_that_nothing_imports() -> None:
    folder = Path(__file__).parents[2] / "frontend"
    apart = {
        "/sw.js",
        "/sw-push.js",
        "/sw-retire.js",
        "/floor.js",
        "/domain/types.js",
        "/domain/fish-types.js",
    }  # workers, a classic script, types only
    sources = {"/" + file.relative_to(folder).as_posix(): file.read_text("utf-8") for file in folder.rglob("*.js")}
    script = joined_modules(sources, "/main.js") + joined_modules(sources, "/later.js", after="/main.js")
    script += joined_modules(sources, "/photo-worker.js")
    assert [path for path in sources if path not in apart and f"modules[{json.dumps(path)}] = " not in script] == []
