"""The one model of a control program, its faces and its instruments."""
