"""A lecture: its cues, its class, its record, its rehearsal."""
