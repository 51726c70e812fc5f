"""The part of the OpenAPI schema about files: their bodies are read by ourselves."""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

from litestar.openapi.spec import OpenAPIMediaType, OpenAPIResponse, Operation, RequestBody

from evenwater.domain.past.export import COLUMNS
from evenwater.domain.past.meanings import meanings
from evenwater.domain.past.reading import Bad
from evenwater.domain.past.understanding import Column
from evenwater.storage.entry_log import LoggedContent
from evenwater.web.exchange.sync_schema import GIVEN
from evenwater.web.intake.past_records import (
    ColumnCount,
    PastImport,
    PastKept,
    PastPreview,
    RowShown,
    meanings_told,
)
from evenwater.web.openapi import JSON, Inline, media, schema_of

_FILE = "Date;KH °dKH\r\n3.11.2026;5,5\r\n4.11.2026;=B2\r\n"
_AT = datetime(2026, 11, 3, 17, tzinfo=UTC)
IMPORT = PastImport(
    id="6f0c4f8e-0b1d-8c2e-a3f4-0123456789ab",
    pond="main",
    file_name="pond.csv",
    kept_at=_AT,
    author="019a4a3e-7c00-7000-8000-000000000003",
    count=412,
    bad_count=1,
    first_on=date(2024, 3, 2),
    last_on=date(2026, 11, 3),
    taken_back_at=None,
)
_COLUMNS = (
    Column(0, "A", "Date", "date", "", "pond", ",", True, "the cells are dates", ("3.11.2026",)),
    Column(1, "B", "KH °dKH", "kh_dkh", "°dKH", "pond", ",", True, "the header says so", ("5,5",)),
)
PREVIEW = PastPreview(
    pond="main",
    zone="Europe/Brussels",
    encoding="utf-8",
    delimiter=";",
    header_line=1,
    date_order="dmy",
    date_sure=False,
    date_why="no day above the 12th shows which is the month: please check",
    columns=_COLUMNS,
    meanings=meanings_told(meanings())[:4],
    first=[RowShown(2, _AT, "KH", 5.5, "°dKH", "pond")],
    counts=[ColumnCount(1, "KH", "pond", "°dKH", 1, _AT, _AT, 5.5, 5.5)],
    rows=1,
    values=1,
    new=1,
    already_here=0,
    repeated=0,
    clashes=[],
    clash_count=0,
    bad=[Bad(3, "B KH °dKH", "=B2", "a formula, not a number", "the number it shows: copy values only")],
    bad_count=1,
)
KEPT = PastKept(IMPORT.id, 1, 0, 1)


def _taken() -> RequestBody:
    file = OpenAPIMediaType(schema=Inline(made={"type": "string", "format": "binary"}))
    file.examples = media({}, {"two readings": _FILE}).examples
    return RequestBody(required=True, content={"text/csv": file}, description="The file as it is, up to 32 MB")


def _operation(answered: Any, what: str) -> type[Operation]:
    @dataclass
    class FileOperation(Operation):
        def __post_init__(self) -> None:
            self.request_body = _taken()
            content = {JSON: media(schema_of(type(answered)), {"one reading": answered})}
            self.responses = (self.responses or {}) | {"200": OpenAPIResponse(description=what, content=content)}

    return FileOperation


def _download(media_type: str, schema: dict[str, Any], example: Any, what: str) -> type[Operation]:
    @dataclass
    class DownloadOperation(Operation):
        def __post_init__(self) -> None:
            content = {media_type: media(schema, {"one reading": example})}
            self.responses = (self.responses or {}) | {"200": OpenAPIResponse(description=what, content=content)}

    return DownloadOperation


_ENTRY: dict[str, Any] = GIVEN["entries"][0]  # type: ignore[index]
_PLACE = {"seq": 41, "received_at": "2026-11-03T16:02:00.000Z", "placed_at": "2026-11-03T15:40:00.000Z"}
_PLACED = _PLACE | {"placed_on": "2026-11-03", "skew_s": 0.4, "time_doubtful": False, "entry": _ENTRY}
_LOG_SCHEMA = {
    "type": "object",
    "properties": {
        "epoch": {"type": "string"},
        "entries": {"type": "array", "items": schema_of(LoggedContent)},
        "deferred": {"type": "array", "items": {"type": "object"}},
    },
}
_LOG = {"epoch": "6f1c0b7e", "entries": [_PLACED], "deferred": []}
_ROW = "2026-11-03T15:40:00.000Z,2026-11-03,main,reading,kh_dkh,5.0,°dKH,pond,,,Marit,…\r\n"

PreviewOperation = _operation(PREVIEW, "What was understood")
KeepOperation = _operation(KEPT, "What became of it")
CsvOperation = _download("text/csv", {"type": "string"}, ",".join(COLUMNS) + "\r\n" + _ROW, "The log as a table")
JsonOperation = _download(JSON, _LOG_SCHEMA, _LOG, "The log as it is kept")
