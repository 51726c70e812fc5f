"""Loads the invented pond into a data folder of its own, through the same door a phone uses."""

import importlib.util
import logging
import shutil
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from types import ModuleType
from typing import Any, cast

import httpx

from evenwater.commands.speaking import Stop
from evenwater.serving import open_database
from evenwater.settings import Settings
from evenwater.storage.photos import FOLDER_NAME
from evenwater.web.app import create_app

_PACKAGE = "seed_scenario"


async def load_example(settings: Settings, scenario: Path, clock: Callable[[], datetime], *, fresh: bool) -> None:
    """Fill the example's folder unless it is filled; `fresh` begins again. Loaded whole or not at all.

    Raises:
        Stop: the scenario is missing or the folder cannot be written.
    """
    if settings.database.exists() and not fresh:
        return
    loader = _loader(scenario)
    draft = Settings(
        data=settings.data / "loading", frontend=settings.frontend, host="127.0.0.1", port=settings.port, example=True
    )
    _clear(draft.data)
    database = await open_database(draft)
    try:
        logging.getLogger("httpx").setLevel(logging.WARNING)  # else a line in the terminal for every call
        # The server's own clock may stand still or run ahead in a test; the story ends when it says "now".
        now = clock()
        told = [now]
        app = create_app(database, draft, lambda: told[-1])
        transport = httpx.ASGITransport(cast(Any, app), client=("127.0.0.1", 1))
        async with httpx.AsyncClient(transport=transport, base_url="http://127.0.0.1") as client:
            await loader.pour(client, now, told.append)
    finally:
        await database.close()
    for file in settings.data.glob("evenwater.sqlite*"):
        file.unlink()
    _clear(settings.data / FOLDER_NAME)
    if (draft.data / FOLDER_NAME).is_dir():
        (draft.data / FOLDER_NAME).rename(settings.data / FOLDER_NAME)
    draft.database.rename(settings.database)
    draft.data.rmdir()


def _clear(folder: Path) -> None:
    if folder.is_dir():
        shutil.rmtree(folder)


def _loader(scenario: Path) -> ModuleType:
    """The scenario's own module; as a package, since its files import each other."""
    file = scenario / "load.py"
    spec = importlib.util.spec_from_file_location(_PACKAGE, file, submodule_search_locations=[str(scenario)])
    if spec is None or spec.loader is None or not file.is_file():
        raise Stop(f"the example's files are not in {scenario}: use a whole copy of the project.")
    module = importlib.util.module_from_spec(spec)
    for name in [one for one in sys.modules if one.partition(".")[0] == _PACKAGE]:
        del sys.modules[name]  # of another copy of the scenario
    sys.modules[_PACKAGE] = module
    spec.loader.exec_module(module)
    return module
