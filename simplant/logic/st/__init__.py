"""Structured Text of IEC 61131-3: read, checked, lowered to the core."""
