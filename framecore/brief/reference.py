"""The reference of the brief: every key, read off the model."""

from __future__ import annotations

from framecore.brief.fields import FIELDS, FieldInfo
from framecore.brief.variants import MOST, STAND, VARIANTS

_VARIANTS_TEXT = (
    f"Up to {MOST} other stands for the same machine, each a table under its name, for example "
    f"`[{VARIANTS}.\"low shelf\".frame]`, with the stand's own tables: {', '.join(STAND)}. What a variant leaves out is "
    "typical; machine, operator, floor and the rest are the brief's."
)


def _allowed(field: FieldInfo) -> str:
    kind = field.kind
    options: tuple[str, ...] = getattr(kind, "options", ())
    if options:
        return ", ".join(options)
    if kind.high <= kind.low:
        return ""
    words = f"{kind.low:g} to {kind.high:g} {kind.unit if kind.unit != '1' else ''}".strip()
    return words + (f', or "{kind.word}"' if kind.word else "") + (", or 0" if kind.zero else "")


def reference_text() -> str:
    """Return a Markdown page with a table of keys for each section."""
    out = ["# Keys of a brief", "", "Bare numbers: mm, kg, N. Text without a unit takes the brief's `units`."]
    section = None
    for field in FIELDS:
        head, _, key = field.path.rpartition(".")
        if head != section:
            section = head
            out += ["", f"## {head or 'top of the file'}", ""]
            out += ["| key | what | allowed | default |", "|---|---|---|---|"]
        what = f"{field.label}. {field.help}".strip()
        shown = field.kind.word if field.default is None else str(field.default)
        out.append(f"| `{key}` | {what} | {_allowed(field)} | {shown} |")
    out += ["", f"## {VARIANTS}", "", _VARIANTS_TEXT]
    return "\n".join(out) + "\n"
