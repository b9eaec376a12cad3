"""Late figures wait until somebody asks, then they are there for good."""

from __future__ import annotations

import pytest

from framecore import evaluate
from framecore.brief.model import Brief
from framecore.figures.book import LATE_IDS, FigureBook, Once
from framecore.figures.model import Figure, Working
from tests.unit.figures.test_workings import SAMPLES, stand


def figure(name):
    return Figure(
        id=name, label=name, value=1.0, unit="1", group="workshop",
        work=lambda: Working(formula="", inputs=(), steps=(), source=""),
    )  # fmt: skip


def book(asked):
    def late():
        asked.append(1)
        return {n: figure(n) for n in ("welds.length", "paint.area")}

    return FigureBook({"mass.frame": figure("mass.frame")}, late)


def test_what_is_known_at_once_waits_for_nothing():
    asked = []
    b = book(asked)
    assert b["mass.frame"].id == "mass.frame" and b.get("mass.frame") is not None
    assert "mass.frame" in b and "mount.torque" not in b and b.get("mount.torque") is None
    assert list(b.at_hand) == ["mass.frame"]
    assert not asked and not b.complete


LOOKS = (lambda b: b["paint.area"], list, len, lambda b: "welds.length" in b, lambda b: b.get("lift.x"))


@pytest.mark.parametrize("look", LOOKS)
def test_the_first_look_works_them_out_once(look):
    asked = []
    b = book(asked)
    look(b)
    look(b)
    assert asked == [1] and b.complete
    assert list(b.at_hand) == list(b) == ["mass.frame", "welds.length", "paint.area"]


def test_an_unknown_late_id_is_a_key_error():
    with pytest.raises(KeyError):
        book([])["weld.nothing"]


def test_once():
    asked = []
    once = Once(lambda: asked.append(1) or 5)
    assert not once.done
    assert (once(), once(), asked, once.done) == (5, 5, [1], True)


def test_evaluating_does_not_work_out_the_shop():
    s = evaluate(Brief())
    assert not s.work.done and not s.figures.complete
    assert s.figures["paint.area"].value > 0
    assert s.work.done and s.figures.complete


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_late_ids_and_no_others_come_late(path):
    figures = stand(path).figures
    late = set(figures) - set(figures.live)
    assert late >= {"welds.length", "welds.filler", "welds.hours", "paint.area", "paint.volume", "weld.shrinkage", "lift.stand"}
    assert all(n.startswith(LATE_IDS) for n in late)
    assert not [n for n in figures.live if n.startswith(LATE_IDS)]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_they_say_what_the_work_plan_says(path):
    s, work = stand(path), stand(path).work()
    f = s.figures
    assert f["welds.length"].value == pytest.approx(sum(w.length for w in work.welds))
    assert f["welds.filler"].value == work.filler.bought
    assert f["paint.area"].value == work.finish.area < s.solids.paint_areas.sum()
    assert f["paint.volume"].value == pytest.approx(sum(c.litres for c in work.finish.coats))
    assert f["lift.stand"].value == pytest.approx(s.solids.mass)
    assert {n for n in f if n.startswith("square.")} == {f"square.{q.name.replace(' ', '_')}" for q in work.squares}
    worst = f["weld.shrinkage"]
    assert all(c.high / c.tolerance <= worst.value / worst.limit + 1e-9 for c in work.chains)
    # The area's arithmetic ends in the figure.
    assert f["paint.area"].working.steps[0].endswith(f"= {work.finish.area:.3f} m²")
