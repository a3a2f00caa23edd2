"""Ladder diagrams of IEC 61131-3: as text that reads and diffs well, lowered to statements."""
