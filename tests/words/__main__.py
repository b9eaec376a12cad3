"""``python -m tests.words de``: print the texts that have no translation yet, as TOML, room by room."""

from __future__ import annotations

import json
import sys

from framecore.words.language import language
from tests.words.harvest import templates


def main(code: str) -> None:
    """Print what is missing in the language ``code``, and what is there that the program no longer says."""
    have = language(code).texts
    want = templates()
    room = ""
    for text, where in want.items():
        if text not in have:
            if where != room:
                print(f"\n# {where}")
                room = where
            print(f'{json.dumps(text, ensure_ascii=False)} = ""')


if __name__ == "__main__":
    main(sys.argv[1])
