"""Whole runs by chance: stories, and the scenarios that they are short for.

A story is story.py (drawn with hypothesis in draw.py), what can happen on a machine whats.py, the way from one to
the other decode.py; search.py runs them and reduce.py makes a find small.
Rule: chance ends at the story; a story and a machine give one scenario, always the same.
"""

from simplant.fuzz.decode import Decoder, ways_of_play
from simplant.fuzz.story import Story, story_by_seed
from simplant.fuzz.whats import Act, Cut, Fail, What, whats

__all__ = ["Act", "Cut", "Decoder", "Fail", "Story", "What", "story_by_seed", "ways_of_play", "whats"]
