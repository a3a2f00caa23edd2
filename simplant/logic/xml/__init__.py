"""Programs in XML: IEC 61131-10 and the TC6 2.01 scheme that it grew from, read and written.

What a graph or a chart does is the affair of ../fbd and ../sfc. Rule: what cannot be said in a scheme, or is not read
from one, is refused with a reason; never dropped.
"""
