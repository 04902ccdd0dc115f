"""A job's sheet, the solve request that follows from it, promise against outcome: pure functions of entries.

Runs on the phone under MicroPython as it is, so it keeps to the model's restricted Python and imports
nothing from outside this folder but the model's table of facts and its arithmetic of teeth.
"""
