"""The reasons for surviving mutants speak of mutants that there are; the score is taken by mutants.py."""

import pytest

from simplant.campaign.mutation import all_mutants
from tests.quality.mutants import comet_toss, reasons


@pytest.mark.slow
def test_each_reason_is_of_some_mutant():
    """A reason whose mutant is gone would explain what nobody asks."""
    told = [str(mutant) for _, mutant in all_mutants(comet_toss())]
    assert [pattern.pattern for pattern, _ in reasons() if not any(pattern.search(text) for text in told)] == []
