"""Scenarios and traces as files."""
