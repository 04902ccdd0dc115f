"""The endpoints, one module a family, and what handlers share: who may, the open book, common parameters."""
