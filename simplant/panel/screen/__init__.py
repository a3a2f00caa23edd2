"""The panel in a terminal: the only place that knows Textual."""
