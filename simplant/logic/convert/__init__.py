"""A program written in Python as a program in Structured Text: the same scan, said in the standard's words."""
