"""The part of the OpenAPI schema about samples: their bodies are read by ourselves."""

from dataclasses import dataclass
from typing import Any

from litestar.openapi.spec import OpenAPIMediaType, OpenAPIResponse, Operation, RequestBody

from evenwater.domain.warmth.sample_table import SentSample
from evenwater.web.intake.sample_intake import RefusedSample, SampleAnswer
from evenwater.web.openapi import JSON, media, schema_of

ONE = {"series": "water_c", "at": "2026-11-03T16:30:00Z", "value": 14.2}
SEVERAL = {"samples": [ONE, {"series": "air_c", "at": "2026-11-03T16:30:00Z", "value": 61}]}
TABLE = "at,water_c,air_c\n2026-11-03T16:30:00Z,14.2,6.1\n2026-11-03T16:40:00Z,14.2,5.9\n"
_REFUSED = RefusedSample(1, "out_of_range", "value is 61 °C", "value", "-60 to 60 °C")
ANSWERED = SampleAnswer(1, 0, 1, [_REFUSED])


def _json() -> OpenAPIMediaType:
    sample = schema_of(SentSample)
    several = {
        "type": "object",
        "properties": {"samples": {"type": "array", "items": sample}},
        "required": ["samples"],
    }
    return media({"anyOf": [sample, several]}, {"one sample": ONE, "several": SEVERAL})


def _operation(body: RequestBody) -> type[Operation]:
    @dataclass
    class SamplesOperation(Operation):
        def __post_init__(self) -> None:
            self.request_body = body
            content = {JSON: media(schema_of(SampleAnswer), {"one refused": ANSWERED})}
            answered = OpenAPIResponse(description="What became of each sample", content=content)
            self.responses = (self.responses or {}) | {"200": answered}

    return SamplesOperation


_TEXT: dict[str, Any] = {"type": "string"}
_CSV = media(_TEXT, {"two probes": TABLE})
ProbeOperation = _operation(
    RequestBody(required=True, content={JSON: _json(), "text/csv": _CSV}, description="Up to 64 kB")
)
TableOperation = _operation(RequestBody(required=True, content={"text/csv": _CSV}, description="Up to 4 MB"))
