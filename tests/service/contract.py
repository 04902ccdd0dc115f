"""The schema as it is committed, which ``test_document`` holds against the app's: reading it costs no app."""

import json
from pathlib import Path

__all__ = ["DOCUMENT"]

DOCUMENT = json.loads((Path(__file__).resolve().parents[2] / "openapi/bothends.json").read_bytes())
