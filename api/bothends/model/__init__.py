"""The science: from readings to teeth.

Pure functions over floats and lists, no input or output. The same files run on the shop PC (CPython) and on
a phone without network (MicroPython), so nothing here imports more than ``math`` and its own neighbours.
Inside: SI units and radians. Outside (requests and answers): the units in the names.
"""
