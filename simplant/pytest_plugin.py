"""The pytest plug-in: scenario files as test items, and fixtures for machines and rigs.

Running and judging is rig/; showing for terminals is cli/.
Rule: importing this module is cheap; everything heavy is imported where it is used.
"""
