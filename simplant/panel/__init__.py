"""The operator panel: a machine run live, pressed, forced and failed by hand, and seen while it runs."""
