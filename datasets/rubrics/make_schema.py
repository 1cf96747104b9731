"""Write rubric.schema.json anew, for editors, from the form by which the loader checks a rubric.

Run from the top folder after a criterion, an action or a place was added:
python datasets/rubrics/make_schema.py
"""

from __future__ import annotations

from pathlib import Path

from kit.marking.rubric_form import SCHEMA_ID, schema_text

if __name__ == "__main__":
    path = Path(__file__).with_name(SCHEMA_ID)
    path.write_text(schema_text(), "utf-8")
    print(f"Wrote {path.name}.")
