"""The answer in words."""

from __future__ import annotations

from framecore.seat.answer import Answer
from framecore.seat.level import CAUTION


def told_in_words(told: Answer) -> list[str]:
    """Return every sentence of the answer, then what asks for a look."""
    lines = []
    if told.turned is not None:
        t = told.turned
        lines.append(
            f"Taper {t.taper:+.4f} mm within {t.within:.4f}; the bar bends for {t.bending:.4f} of it. That is a twist of "
            f"{t.twist:+.3f} mm/m, {t.low:+.3f} to {t.high:+.3f}, as it is not known where between ways and feet the bed "
            "twists about."
        )
    if told.zero is not None:
        lines.append(f"The level's own error is {told.zero[0]:+.4f} mm/m; turned end for end it does no harm.")
    if told.learned.rounds:
        lines.append(
            f"Learnt from {told.learned.rounds} round{'s' if told.learned.rounds > 1 else ''}: {told.learned.share:.2f} ± "
            f"{told.learned.sd:.2f} of what the model foretells is seen."
        )
    by_name = {t.move.name: t for t in told.turns}
    for sentence in told.advice.sentences:
        turn = by_name.get(sentence.partition(":")[0])
        if turn is not None:
            lines.append(f"{sentence} That is {turn.words}{'; ' + turn.note if turn.note else ''}.")
        elif sentence != CAUTION:
            lines.append(sentence)
    lines += [f"▲ {n.text[:1].upper()}{n.text[1:].rstrip('.')}." for n in told.notes if n.code != "below"]
    return [*lines, CAUTION] if CAUTION in told.advice.sentences else lines
