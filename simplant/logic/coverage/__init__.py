"""What runs of a program have shown of it: steps, transitions, statements, and which conditions decided anything."""
