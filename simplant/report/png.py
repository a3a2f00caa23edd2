"""A chart as PNG, if the optional library that draws it is there.

Rule: without it nothing else is lost; the message says what to install.
"""

from simplant.errors import UsageError


def png_of(svg: str) -> bytes:
    """Give an SVG as PNG, twice its size, for print.

    Raises:
        UsageError: the library is not installed.
    """
    try:
        from resvg_py import svg_to_bytes  # noqa: PLC0415 - an optional extra
    except ImportError:
        raise UsageError(
            "a PNG needs a library that is not installed",
            "it is an extra, as most are served by the SVG",
            "install it with python -m pip install 'simplant[report]', or write --svg FILE",
        ) from None
    return bytes(svg_to_bytes(svg_string=svg, zoom=2))
