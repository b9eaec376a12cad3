"""Every row of "what one change helps most" is what the full evaluation says of that stand."""

from __future__ import annotations

import dataclasses
import math
from pathlib import Path

import pytest

from framecore import evaluate, load_brief
from framecore.brief import load_source, resolve
from framecore.figures.model import Verdict
from framecore.search import MEASURES, PRICES, Trial, measured, ranked, with_hours, worst_measure
from framecore.search.space import with_value
from framecore.search.words import shown

SAMPLES = Path(__file__).resolve().parents[3] / "samples"
NAMES = ("bench-lathe", "grinder-column", "long-lathe-pedestals", "surface-plate", "workbench")


@pytest.fixture(scope="module")
def tries():
    """Trial and what it tried, by sample; made when first asked for."""
    made = {}

    def of(name):
        if name not in made:
            trial = Trial(load_brief(SAMPLES / f"{name}.toml"))
            made[name] = trial, list(trial.run())
        return made[name]

    return of


@pytest.mark.parametrize("name", NAMES)
def test_each_row_is_what_evaluate_says_of_the_brief_as_it_would_be_written(tries, name):
    """The keys are typed into the file's text, read again and evaluated from nothing."""
    source = load_source(SAMPLES / f"{name}.toml")
    trial, tried = tries(name)
    before = evaluate(load_brief(SAMPLES / f"{name}.toml")).figures.live
    for one in [t for t in tried if t.after is not None][::3]:
        written = source
        for key, value in one.change.values:
            written = written.with_value(key, value)
        read = resolve(type(source)(original=written.text(), values=written.values))
        assert not [f for f in read.findings if f.severity == "stop"], one.change.words
        assert read.brief == one.change.brief, one.change.words
        figures = evaluate(read.brief).figures.live
        for measure in one.after.measures:
            assert one.after.measures[measure] == pytest.approx(measured(figures, measure).value, rel=1e-6), one.change.words
        assert one.after.mass == pytest.approx(figures["mass.frame"].value, rel=1e-9)
        assert one.after.cost == pytest.approx(figures["steel.cost"].value, rel=1e-9)
        assert one.after.stops == {n for n, f in figures.items() if f.verdict is Verdict.STOP}
    for row in ranked(trial.present(), tried, worst_measure(before), "mass"):
        assert row.before == pytest.approx(measured(before, worst_measure(before)).value, rel=1e-6)


def test_hours_are_the_figure_of_that_stand(tries):
    trial, tried = tries("surface-plate")
    now = evaluate(load_brief(SAMPLES / "surface-plate.toml")).figures["welds.hours"].value
    assert trial.present(hours=True).hours == pytest.approx(now, rel=1e-9)
    some = [t for t in tried if t.after is not None][:4]
    for t in some:
        assert trial.hours(t.change) == pytest.approx(evaluate(t.change.brief).figures["welds.hours"].value, rel=1e-9)
    known = [with_hours(t, trial.hours(t.change)) for t in some]
    rows = ranked(trial.present(hours=True), [*known, *tried[4:]], "twist.stiffness", "hours")
    assert all(r.worth is None for r in rows if r.hours is None)
    assert [r.worth is None for r in rows] == sorted(r.worth is None for r in rows)


@pytest.mark.parametrize("name", NAMES)
def test_every_change_changes_something_and_none_comes_twice(tries, name):
    brief = load_brief(SAMPLES / f"{name}.toml")
    trial, _ = tries(name)
    assert len(trial.changes) > 8
    for c in trial.changes:
        assert c.brief != brief, c.words
        for key, value in c.values:
            if key == "frame.middle_legs" or (key.startswith("braces.") and isinstance(value, str)):
                continue  # "A middle leg", "No brace"
            assert isinstance(value, list) or shown(brief, key, value) in c.words, c.words
    assert len({str(c.values) for c in trial.changes}) == len({c.words for c in trial.changes}) == len(trial.changes)


@pytest.mark.parametrize("measure", MEASURES)
@pytest.mark.parametrize("price", PRICES)
def test_rows_are_ranked_by_gain_for_the_price_and_what_is_free_leads(tries, measure, price):
    trial, tried = tries("bench-lathe")
    present = trial.present(hours=True)
    known = [with_hours(t, trial.hours(t.change)) if t.after else t for t in tried]
    rows = ranked(present, known, measure, price)
    assert rows, measure
    for r in rows:
        better = r.after > r.before if MEASURES[measure] else r.after < r.before
        assert better and r.gain == pytest.approx(abs(r.after - r.before))
        paid = {"mass": r.mass, "cost": r.cost, "hours": r.hours}[price]
        assert r.worth == (math.inf if paid <= 0.005 else pytest.approx(r.gain / paid))
    assert [r.worth for r in rows] == sorted((r.worth for r in rows), reverse=True)
    free = [r.gain for r in rows if math.isinf(r.worth)]
    assert free == sorted(free, reverse=True)
    # No change that helps is left out.
    sign, now = (1 if MEASURES[measure] else -1), present.measures[measure]
    helped = [t for t in tried if t.after and (t.after.measures[measure] - now) * sign > 1e-3 * abs(now)]
    assert len(rows) == len(helped)


def test_the_measure_nobody_picked_is_the_one_with_the_worst_verdict(tries):
    figures = evaluate(load_brief(SAMPLES / "bench-lathe.toml")).figures.live
    assert figures["bed.jack_share"].verdict is Verdict.STOP
    assert worst_measure(figures) == "bed.jack_share"
    # All good: the one nearest to its limit.
    brief = load_brief(SAMPLES / "bench-lathe.toml")
    easy = dataclasses.replace(brief, limits=dataclasses.replace(brief.limits, jack_share=0.05, sway=1750.0, frequency=5.0))
    assert worst_measure(evaluate(easy).figures.live) == "sway.stiffness_x"


def test_a_change_that_makes_another_figure_worse_says_which(tries):
    trial, tried = tries("bench-lathe")
    lower = next(t for t in tried if t.change.words.startswith("Foot height") and t.change.brief.feet.height == 30)
    row = next(r for r in ranked(trial.present(), tried, "modes.1", "mass") if r.change is lower.change)
    before, after = (evaluate(b).figures.live for b in (load_brief(SAMPLES / "bench-lathe.toml"), lower.change.brief))
    worse = {n for n, f in after.items() if f.verdict is Verdict.LOOK and before[n].verdict is Verdict.GOOD}
    assert worse == set(row.new_looks) and worse


def test_what_cannot_be_built_says_why_and_is_no_help(tries):
    trial, tried = tries("bench-lathe")
    lost = [t for t in tried if t.after is None]
    assert lost and all(t.reason.endswith(".") or ";" in t.reason for t in lost)
    for measure in MEASURES:
        assert not {id(r.change) for r in ranked(trial.present(), tried, measure, "mass")} & {id(t.change) for t in lost}


def test_profiles_come_from_what_is_sold():
    brief = load_brief(SAMPLES / "bench-lathe.toml")
    row = dataclasses.replace(brief.steel.sold[0], profile="SHS 90x90x5")
    brief = dataclasses.replace(brief, steel=dataclasses.replace(brief.steel, sold=(row,), rack=()))
    legs = {dict(c.values).get("frame.sections.legs") for c in Trial(brief).changes} - {None}
    assert legs == {"SHS 90x90x5"}


def test_more_bearers_with_holes_and_without(tries):
    trial, _ = tries("bench-lathe")
    more = next(c for c in trial.changes if "bearer between" in c.words)
    assert len(more.brief.frame.bearers_at) == 3
    plain = with_value(load_brief(SAMPLES / "bench-lathe.toml"), "machine.holes", ())
    told = [c for c in Trial(plain).changes if "frame.bearers" in dict(c.values)]
    assert [c.brief.frame.bearers for c in told] == [plain.frame.bearers + 1]
