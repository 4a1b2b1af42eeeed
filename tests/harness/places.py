"""Where things are."""

import os
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = ROOT / "crates" / "wire" / "examples"
OPENAPI = ROOT / "openapi"
BINARY = Path(os.environ.get("HEADPROOF_BIN", ROOT / "target" / "release" / "headproof"))
