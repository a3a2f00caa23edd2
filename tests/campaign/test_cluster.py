"""A campaign on a Dask cluster: the same answers as here, and clear words when the cluster is not what it should be."""

import warnings

import pytest

from simplant.campaign.campaign import Campaign
from simplant.campaign.facts import Facts
from simplant.campaign.failures import ask, cases_of, everyday, ways_of
from simplant.campaign.store import Store
from simplant.errors import UsageError
from simplant.rig.machine import Machine

distributed = pytest.importorskip("distributed")


@pytest.fixture(scope="module")
def sump():
    return Machine.load("programs/sump_pumps")


@pytest.fixture(scope="module")
def cases(sump):
    ways = ways_of(sump, everyday(sump)[:3])
    return cases_of(ways[:1], [entry for entry in sump.catalogue if entry.target.startswith("pump_1")])


@pytest.mark.slow
@pytest.mark.filterwarnings("ignore")
def test_the_same_answers(sump, cases):
    """Two workers that have nothing of the machine but what is sent answer as this process; each answer is kept."""
    here = Campaign(sump, ask, Facts, Store(None), 1).run(cases)
    store, told = Store(None), []
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        cluster = distributed.LocalCluster(
            2, threads_per_worker=1, host="127.0.0.1", dashboard_address=None, silence_logs=50
        )
    with cluster:
        there = Campaign(sump, ask, Facts, store, tell=told.append, cluster=cluster.scheduler_address).run(cases)
    assert there == here
    assert (told[-1].done, told[-1].cases) == (len(store.known()), len({case.depends for case in cases}))


def test_no_cluster_there(sump, cases):
    """An address at which nobody answers is told; nothing is lost."""
    with pytest.raises(UsageError, match=r"there is no cluster at tcp://127\.0\.0\.1:9"):
        Campaign(sump, ask, Facts, Store(None), cluster="tcp://127.0.0.1:9").run(cases)
