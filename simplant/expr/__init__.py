"""Typed expressions on tags and plant truths."""
