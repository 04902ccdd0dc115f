"""Hypothesis for the tests of the book: no time limits, which fail by the machine and not by the code."""

from hypothesis import HealthCheck, settings

settings.register_profile(
    "book",
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
settings.load_profile("book")
