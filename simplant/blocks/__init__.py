"""Standard function blocks of IEC 61131-3: a frozen state and one step function each."""
