"""The version of simplant, in one place; it stands in traces and reports, shown and never compared."""

from typing import Final

VERSION: Final = "0.1.0"
