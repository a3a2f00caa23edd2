"""Claims about a run: monitors, verdicts, margins."""
