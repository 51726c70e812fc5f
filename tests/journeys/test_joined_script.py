"""The modules as one script, in the browser: it does what they do."""

from playwright.sync_api import Browser

from evenwater.web.joining import joined_modules

SOURCES = {
    "/main.js": (
        'import { shown as told, second } from "./parts/told.js";\n'
        'import three from "./vendor/small.js";\n'
        'import{d as four}from"./vendor/listed.js";\n'
        "const shown = 0;\n"
        "globalThis.found = [told(), second, three(), four, shown];\n"
    ),
    "/parts/told.js": (
        'import {\n  five,\n} from "../vendor/listed.js";\n'
        "let calls = 0;\n"
        "export function shown() {\n  calls += 1;\n  return `export ${calls} ${five}`;\n}\n"
        "export const second = shown();\n"
    ),
    "/vendor/small.js": "var n=3;export default function(){return n}\n",
    "/vendor/listed.js": "var a=4,b=5;export{a as d,b as five};",
    "/unused.js": "globalThis.unused = true;\n",
}


def test_it_does_what_the_modules_do(browser: Browser) -> None:
    page = browser.new_page()
    page.add_script_tag(content=joined_modules(SOURCES, "/main.js"), type="module")
    page.wait_for_function("() => globalThis.found")
    assert page.evaluate("() => globalThis.found") == ["export 2 5", "export 1 5", 3, 4, 0]
    assert page.evaluate("() => globalThis.unused") is None
    page.close()
