"""Tests of the model, one file for each of its modules, and the cars they share."""
