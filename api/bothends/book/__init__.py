"""The logbook: entries, the store, history, devices and links; ``sheet`` is what entries come to."""
