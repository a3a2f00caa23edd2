"""Bounds of a share, against published examples and against SciPy.

Sources: 7 of 50: the documentation of `scipy.stats.binomtest`. Rule of three and its exact form: Eypasch et al., BMJ
311 (1995) 619, as quoted in statistics notes. The other rows are derived from the beta quantiles.
"""

import pytest
from scipy import stats

from simplant.campaign import clopper_pearson, none_seen
from simplant.errors import UsageError


@pytest.mark.parametrize(
    ("hits", "runs", "low", "high"),
    [
        (7, 50, 0.05819170033997342, 0.26739600249700846),
        (4, 20, 0.05733400, 0.43661400),
        (0, 100, 0.0, 0.03621669),
        (1, 100, 0.00025315, 0.05445939),
        (2, 1000, 0.00024230, 0.00720584),
    ],
)
def test_examples(hits, runs, low, high):
    """The exact bounds as printed."""
    assert clopper_pearson(hits, runs) == pytest.approx((low, high), abs=5e-9)


def test_the_published_example_to_its_last_digits():
    """7 of 50 as printed with sixteen digits."""
    assert clopper_pearson(7, 50) == pytest.approx((0.05819170033997342, 0.26739600249700846), rel=1e-13)


@pytest.mark.parametrize("level", [0.5, 0.9, 0.95, 0.99, 0.9999])
@pytest.mark.parametrize("runs", [1, 2, 3, 10, 47, 1000, 50_000, 1_000_000])
def test_as_scipy(runs, level):
    """The same as SciPy over the whole range of counts, and mirrored: hits and misses change places."""
    for hits in dict.fromkeys((0, 1, 2, runs // 3, runs // 2, runs - 1, runs)):
        if not 0 <= hits <= runs:
            continue
        ours = clopper_pearson(hits, runs, level=level)
        theirs = stats.binomtest(hits, runs).proportion_ci(level, method="exact")
        assert ours == pytest.approx((theirs.low, theirs.high), rel=1e-8, abs=1e-12), hits
        low, high = clopper_pearson(runs - hits, runs, level=level)
        assert ours == pytest.approx((1 - high, 1 - low), rel=1e-8, abs=1e-12), hits


@pytest.mark.parametrize(
    ("runs", "exact"), [(100, 0.029513), (300, 0.0099361), (1000, 0.00299125), (3000, 0.000998079)]
)
def test_none_seen(runs, exact):
    """The exact one-sided bound, and near 3 / n."""
    assert none_seen(runs) == pytest.approx(exact, rel=2e-5)
    assert none_seen(runs) == pytest.approx(3 / runs, rel=0.02)


@pytest.mark.parametrize(
    ("share", "level", "runs"), [(1e-2, 0.95, 299), (1e-3, 0.95, 2995), (1e-4, 0.95, 29956), (1e-3, 0.99, 4603)]
)
def test_how_many_runs_without_one_are_enough(share, level, runs):
    """So many runs without one bound the share, and one run less does not."""
    assert none_seen(runs, level=level) < share <= none_seen(runs - 1, level=level)


@pytest.mark.parametrize("counts", [(1, 0), (-1, 5), (6, 5)])
def test_counts_that_cannot_be(counts):
    with pytest.raises(UsageError):
        clopper_pearson(*counts)
    with pytest.raises(UsageError):
        none_seen(0)
