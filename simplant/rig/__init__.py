"""The bench: binds plant, logic, wiring, rules and a scenario, and owns time."""
