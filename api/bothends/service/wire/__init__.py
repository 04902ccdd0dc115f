"""Requests and answers as structs, with names, units and words of every field; knows no HTTP."""
