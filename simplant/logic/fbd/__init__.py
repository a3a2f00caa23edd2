"""Networks as graphs, the way IEC 61131-10 exchanges ladder and function block diagrams, lowered to statements."""
