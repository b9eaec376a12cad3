"""What the present stand can be compared with: evaluated when first looked at, kept while nothing of it changes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from framecore.brief import load_source
from framecore.brief.variants import as_variant, variant_names
from framecore.errors import BriefError, FramecoreError, LayoutError

if TYPE_CHECKING:
    from pathlib import Path

    from framecore.brief import BriefSource
    from framecore.stand.model import Stand

REFERENCE, VARIANT, FILE = "reference", "variant", "file"


@dataclass(frozen=True, slots=True)
class Other:
    """One of them: its ``kind``, its ``name``, and the stand or the sentence why there is none."""

    kind: str
    name: str
    stand: Stand | None
    sentence: str = ""


class Others:
    """Evaluates variants and files."""

    def __init__(self) -> None:
        from framecore.stand import Evaluator

        self._evaluator = Evaluator()
        self._known: dict[str, tuple[Any, Stand | None, str]] = {}
        self.files: dict[str, BriefSource] = {}

    def variants(self, source: BriefSource) -> list[Other]:
        """Return the variants of a brief, in the order of its file."""
        return [self._other(VARIANT, n, as_variant(source, n)) for n in variant_names(source)]

    def briefs(self) -> list[Other]:
        """Return the other briefs that were opened to compare with."""
        return [self._other(FILE, name, source) for name, source in self.files.items()]

    def open(self, path: Path) -> None:
        """Read another brief; raises ``BriefError``."""
        self.files[path.name] = load_source(path)

    def _other(self, kind: str, name: str, source: BriefSource) -> Other:
        key = f"{kind} {name}"
        kept = self._known.get(key)
        if kept is None or kept[0] != source.values:
            kept = self._known[key] = (source.values, *self._evaluated(source))
        return Other(kind, name, kept[1], kept[2])

    def _evaluated(self, source: BriefSource) -> tuple[Stand | None, str]:
        reading = source.resolve()
        if reading.brief is None:
            return None, next(f.message for f in reading.findings if f.severity.value == "stop")
        try:
            return self._evaluator.evaluate(reading.brief), ""
        except (BriefError, LayoutError) as fault:
            return None, fault.findings[0].message
        except FramecoreError as fault:
            return None, str(fault)
