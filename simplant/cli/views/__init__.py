"""What a run looks like in a terminal: one renderable a file."""
