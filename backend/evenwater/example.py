"""Loads the invented pond into a data folder of its own, through the same door a phone uses."""

import importlib.util
import logging
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from types import ModuleType
from typing import Any, cast

import httpx

from evenwater.commands.speaking import Stop
from evenwater.serving import open_database
from evenwater.settings import Settings
from evenwater.web.app import create_app


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
    _clear(settings.data, only_database=True)
    draft.database.rename(settings.database)
    draft.data.rmdir()


def _clear(folder: Path, *, only_database: bool = False) -> None:
    if not folder.is_dir():
        return
    for file in folder.glob("evenwater.sqlite*" if only_database else "*"):
        if file.is_file():
            file.unlink()


def _loader(scenario: Path) -> ModuleType:
    file = scenario / "load.py"
    spec = importlib.util.spec_from_file_location("seed_scenario_load", file)
    if spec is None or spec.loader is None or not file.is_file():
        raise Stop(f"the example's files are not in {scenario}: use a whole copy of the project.")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
