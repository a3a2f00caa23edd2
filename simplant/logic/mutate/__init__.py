"""Mutants of a control program: each with one small mistake of the kinds that people make."""

from simplant.logic.mutate.alike import Difference, difference
from simplant.logic.mutate.every import mutants
from simplant.logic.mutate.mutant import KINDS, Mutant

__all__ = ["KINDS", "Difference", "Mutant", "difference", "mutants"]
