"""The packet's folder of flat parts."""

from __future__ import annotations

from dataclasses import replace

from app.cli.packet import _parts
from framecore import evaluate
from framecore.brief.model import Brief


def test_one_file_a_mark_and_no_folder_without_plates(tmp_path):
    stand = evaluate(Brief())
    _parts(stand, tmp_path / "parts")
    assert stand.shop.plates
    assert sorted(p.stem for p in (tmp_path / "parts").iterdir()) == sorted(p.mark for p in stand.shop.plates)
    _parts(replace(stand, shop=replace(stand.shop, plates=())), tmp_path / "none")
    assert not (tmp_path / "none").exists()
