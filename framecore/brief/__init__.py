"""The brief: what the maker tells us, read from and kept as a TOML file."""

from __future__ import annotations

from framecore.brief.document import BriefSource, save_brief
from framecore.brief.fields import FIELDS, FieldInfo, default_for
from framecore.brief.model import Brief
from framecore.brief.reading import Reading, load_brief, load_source, read_brief, resolve, typical

__all__ = [
    "FIELDS",
    "Brief",
    "BriefSource",
    "FieldInfo",
    "Reading",
    "default_for",
    "load_brief",
    "load_source",
    "read_brief",
    "resolve",
    "save_brief",
    "typical",
]
