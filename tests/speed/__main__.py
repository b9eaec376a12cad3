"""Print the speed table: ``python -m tests.speed`` (under a screen, real or virtual)."""

from __future__ import annotations

from tests.speed import cutting, evaluation, nest, packets, search, statics, window

if __name__ == "__main__":
    print(f"{'what':<58}  {'measured':<58}  aim")
    for source in (evaluation, cutting, nest, search, packets, window):
        for what, measured, aim in source.table():
            print(f"{what:<58}  {measured:<58}  {aim}", flush=True)
    print("\nstatic solve beside two other programs, same frames, same run:", flush=True)
    statics.main()
