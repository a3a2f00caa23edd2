"""Sequential function charts of IEC 61131-3: steps, transitions, qualified actions, lowered to statements."""
