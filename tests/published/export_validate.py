"""What the Python library jsonschema says of files: a line for each, in order.

    python3 tests/published/export_validate.py SCHEMA FILE...
"""

import json
import sys
from pathlib import Path

from jsonschema import Draft202012Validator

schema, *files = (json.loads(Path(name).read_text(encoding="utf-8")) for name in sys.argv[1:])
Draft202012Validator.check_schema(schema)
validator = Draft202012Validator(schema)
for document in files:
    fault = next(validator.iter_errors(document), None)
    print("valid" if fault is None else f"not valid: {fault.json_path}: {fault.message[:200]}".replace("\n", " "))
