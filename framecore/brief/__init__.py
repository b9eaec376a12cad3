"""The brief: what the maker tells us, read from and kept as a TOML file."""

from __future__ import annotations

from framecore.brief.document import BriefSource, save_source
from framecore.brief.model import Brief
from framecore.brief.reading import Reading, load_brief, load_source, read_brief, resolve, typical

__all__ = ["Brief", "BriefSource", "Reading", "load_brief", "load_source", "read_brief", "resolve", "save_source", "typical"]
