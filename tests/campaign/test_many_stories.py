"""Stories drawn evenly: the same in one process, in two and one after the other; their share has bounds.

Rule: what is compared is all that is told of each story.
"""

import json

import pytest

from simplant.campaign.campaign import Campaign
from simplant.campaign.store import Store
from simplant.campaign.stories import StoryFacts, gathered, share, story_cases, tell
from simplant.cli.main import main
from simplant.fuzz import Decoder
from simplant.fuzz.search import Seen, search
from simplant.rig.machine import Machine

MANY = 24

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def sump():
    return Machine.load("programs/sump_pumps")


def asked(machine, processes, path=None):
    decoder = Decoder(machine)
    with Store(path) as store:
        return Campaign(machine, tell, StoryFacts, store, processes).run(story_cases(decoder, 3, MANY, nominal=False))


def test_one_process_or_two(sump, tmp_path):
    """The same facts in the same order, and what is added up is what a search without steering adds up."""
    one, two = asked(sump, 1), asked(sump, 2, tmp_path / "results.sqlite")
    assert one == two
    seen = Seen()
    wrong = [
        tuple(find.what for find in told.finds) for told in search(sump, Decoder(sump), MANY, 3, seen, steered=False)
    ]
    assert [fact.wrong for fact in one] == wrong
    again = gathered(one)
    assert (again.cases, again.steps, again.transitions, again.accepted, again.undemanded, again.closest) == (
        seen.cases, seen.steps, seen.transitions, seen.accepted, seen.undemanded, seen.closest,
    )  # fmt: skip


def test_a_share_has_bounds(sump):
    """None in n: the rule of three; some: exact bounds."""
    none = StoryFacts((), (), (), (), (), ())
    some = StoryFacts(("a rule",), (), (), (), (), ())
    assert share([none] * 300) == (0, 0.0, pytest.approx(3 / 300, rel=0.01))
    wrong, low, high = share([none] * 9 + [some])
    assert (wrong, round(low, 4), round(high, 4)) == (1, 0.0025, 0.445)


def test_the_command_goes_on_where_it_was(tmp_path, capsys, monkeypatch):
    """`--even` tells the share; asked again for more, what is known is not run again."""
    arguments = ["fuzz", "programs/sump_pumps", "--even", "--nominal", "--processes", "1", "--json"]
    results = ["--results", str(tmp_path / "kept.sqlite")]
    assert main([*arguments, *results, "--cases", "10"]) == 0
    first = json.loads(capsys.readouterr().out)
    assert first["share"] == {"wrong": 0, "of": 10, "least": 0.0, "most": pytest.approx(1 - 0.05**0.1)}
    with Store(tmp_path / "kept.sqlite") as store:
        assert len(store.known()) == 10
    assert main([*arguments, *results, "--cases", "12"]) == 0
    with Store(tmp_path / "kept.sqlite") as store:
        assert len(store.known()) == 12
