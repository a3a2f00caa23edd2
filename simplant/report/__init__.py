"""What a run leaves for people to look at: one HTML page, timing charts as SVG and PNG, state diagrams.

Running and judging is rig/; the commands are cli/report.py, cli/chart.py and cli/diagram.py. Rule: a picture hides
no change, colour is never its only carrier, and nothing is fetched from anywhere when it is opened.
"""
