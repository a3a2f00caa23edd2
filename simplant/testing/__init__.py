"""Conformance kits: one suite over every block, part, program or machine, ours and the user's; and fuzzing."""

from simplant.blocks.conformance import check_block
from simplant.testing.fuzzing import fuzz
from simplant.testing.machine import check_machine
from simplant.testing.part import check_part
from simplant.testing.program import check_program

__all__ = ["check_block", "check_machine", "check_part", "check_program", "fuzz"]
