"""Conformance kits: one suite over every block, part, program or machine, ours and the user's."""

from simplant.blocks.conformance import check_block
from simplant.testing.part import check_part

__all__ = ["check_block", "check_part"]
