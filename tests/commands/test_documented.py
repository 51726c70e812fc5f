"""Every command that the pages, the help texts and the service's file show is one that the parser understands."""

import importlib
import json
import pkgutil
import re
import shlex
from pathlib import Path

import pytest

from evenwater import commands, main

ROOT = Path(__file__).parents[2]
SHELL_ENDS = re.compile(r"\s+#.*$|\s*[|>].*$|\s{2,}\S.*$")


def shown_in_pages() -> list[str]:
    """Lines of code blocks that call the command, by whatever path, and the container's."""
    found: list[str] = []
    for page in ("README.md", "DEVELOPERS.md"):
        for block in re.split(r"^```.*$\n", (ROOT / page).read_text(encoding="utf-8"), flags=re.MULTILINE)[1::2]:
            found += re.findall(r"^(?:ExecStart=)?(?:\S*/)?evenwater (.+)$", block, re.MULTILINE)
            found += [shlex.join(json.loads(one)[1:]) for one in re.findall(r"^CMD (.+)$", block, re.MULTILINE)]
    return found


def shown_in_helps() -> list[str]:
    modules = [main, *(importlib.import_module(f"evenwater.commands.{one.name}") for one in _modules())]
    texts = [text for one in modules for name, text in vars(one).items() if name.endswith(("EXAMPLES", "EPILOG"))]
    return [line for text in texts for line in re.findall(r"^  evenwater (.+)$", text, re.MULTILINE)]


def _modules() -> list[pkgutil.ModuleInfo]:
    return list(pkgutil.iter_modules(commands.__path__))


def words_of(line: str) -> list[str]:
    return shlex.split(SHELL_ENDS.sub("", line.strip()))


@pytest.mark.parametrize("line", [*shown_in_pages(), *shown_in_helps()])
def test_what_is_shown_is_understood(line):
    if "COMMAND" in line:
        return
    asked = main._parser().parse_args(words_of(line))
    assert callable(asked.act)


def test_there_are_enough_of_them_to_mean_something():
    pages, helps = shown_in_pages(), shown_in_helps()
    assert len(pages) >= 12 and len(helps) > 20
    assert any("--backup-to /backups" in one for one in pages), "the container's"


def test_every_command_has_an_example_in_its_help():
    shown = {line.split()[0] for line in shown_in_helps()}
    names = set(re.search(r"\{(.*?)\}", main._parser().format_usage() + _choices())[1].split(","))
    assert names - shown == set()


def _choices() -> str:
    actions = [one for one in main._parser()._actions if one.choices]
    return "{" + ",".join(actions[0].choices) + "}"
