"""What is packed for the way: a hundred entries go in a tenth of their size, a plan in a tenth of its own.

Answers are packed by the framework, requests are unpacked here: nothing in HTTP lets a browser find out beforehand
whether a server takes them, so only our own app packs them, and everything else may be sent as it is.
"""

import zlib

from litestar.config.compression import CompressionConfig

from evenwater.web.errors import Refusal

# A route with this mark answers with something that is packed already.
PACKED_ALREADY = "packed_already"
# Where a better level would save little more and cost several times as much, measured on a plan with its entries.
PACKED_ANSWERS = CompressionConfig(
    "brotli", minimum_size=1000, brotli_quality=4, gzip_compress_level=1, exclude_opt_key=PACKED_ALREADY
)


def unpacked(body: bytes, encoding: str, at_most: int) -> bytes:
    """A request's body as it was before it was packed; never more than `at_most` bytes are made of it.

    Raises:
        Refusal: 415 when it is packed in another way than gzip, 400 when it does not unpack, 413 when it is more.
    """
    if encoding in ("", "identity"):
        return body
    if encoding != "gzip":
        raise Refusal(
            415, "wrong_media_type", f"packed as {encoding[:40]!r}", where="Content-Encoding", right="gzip, or none"
        )
    gzip = zlib.decompressobj(zlib.MAX_WBITS | 16)
    try:
        whole = gzip.decompress(body, at_most + 1)
    except zlib.error as error:
        raise Refusal(400, "malformed", f"no gzip: {error}", where="$", right="JSON packed as gzip") from None
    if len(whole) > at_most:
        raise Refusal(413, "too_large", f"unpacks to over {at_most} bytes", where="$", right="fewer entries at once")
    if not gzip.eof or gzip.unused_data:
        what = "the packed body goes on after its end" if gzip.eof else "the packed body is cut short"
        raise Refusal(400, "malformed", what, where="$", right="JSON packed as gzip, once")
    return whole
