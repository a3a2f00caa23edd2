"""The text of a program file, in whatever letters it was saved.

Rule: UTF-8, with or without a mark, UTF-16 with its mark, else what Windows wrote before (code page 1252).
"""

from codecs import BOM_UTF16_BE, BOM_UTF16_LE
from pathlib import Path


def read_source(path: Path) -> str:
    """Give the text of a file; raises `OSError` if it cannot be read."""
    data = path.read_bytes()
    if data.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        text = data.decode("utf-16", "replace")
    else:
        try:
            text = data.decode("utf-8-sig")
        except UnicodeDecodeError:
            text = data.decode("cp1252", "replace")
    return text.replace("\r\n", "\n").replace("\r", "\n")
