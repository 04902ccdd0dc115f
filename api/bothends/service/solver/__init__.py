"""Solves in processes of their own, which a time bound can stop."""
