"""A stand put together without the later stages: frame and shapes, a made-up order."""

from types import SimpleNamespace

import numpy as np

from framecore.brief.model import Brief, FrameBrief, Machine, SheetBrief, Top
from framecore.cutting.model import Bar, Cut, CutBar, CutPlan
from framecore.figures import Once
from framecore.frame import build_frame
from framecore.shop.model import OrderLine, Shop, ShopPiece, ShopPlate
from framecore.solids import SolidsBuilder
from framecore.stand.model import Stand
from framecore.stand.work import make_work

DENSITY = 7850.0  # kg/m3
BRIEF = Brief(
    title="Stand for a small lathe",
    machine=Machine(holes=((-310.0, -90.0), (-310.0, 90.0), (320.0, -90.0), (320.0, 90.0))),
    frame=FrameBrief(height=780.0, shelf="slats"),
    top=Top(kind="sheet", overhang=25.0),
    sheet=SheetBrief(number="S-017", owner="Example workshop", drawn_by="A. Drawer", date="2026-01-31"),
)


def handmade(brief=BRIEF, height=780.0):
    frame = build_frame(brief, height)
    solids = SolidsBuilder().build(frame, DENSITY)
    return Stand(
        brief=brief,
        height=None,
        frame=frame,
        solids=solids,
        strength=None,
        shop=_shop(frame),
        figures={},
        work=Once(lambda: _work(brief, frame, solids)),
        findings=frame.findings,
    )


def _work(brief, frame, solids):
    """What the workshop is told; nothing was analysed, so no weld is checked."""
    checks = SimpleNamespace(welds=())
    strength = SimpleNamespace(checks=checks, sway=None)
    answers = SimpleNamespace(brief=brief, frame=frame, solids=solids, strength=strength, shop=_shop(frame))
    return make_work(answers, {})


def _shop(frame):
    alike = {}
    for m in frame.members:
        alike.setdefault((m.profile.id, round(m.length, 1), m.role), []).append(m)
    pieces, piece_of, plans = [], {}, {}
    for n, ((_, length, _), group) in enumerate(alike.items()):
        mark = f"{'ABCDEFGH'[n // 4]}{n % 4 + 1}"
        m = group[0]
        pieces.append(
            ShopPiece(
                mark=mark,
                profile=m.profile,
                length=length,
                short_length=length,
                members=tuple(g.name for g in group),
                ends=(m.start.kind, m.end.kind),
                holes=0,
                chamfer=0.0,
                mass=length / 1000 * m.profile.kg_per_m,
            )
        )
        piece_of |= {g.name: mark for g in group}
        cuts = plans.setdefault(m.profile.id, [[]])
        for _ in group:
            if sum(c[1] + 2 for c in cuts[-1]) + length > 6000:
                cuts.append([])
            cuts[-1].append((mark, length))
    plates = {}
    for p in frame.plates:
        plates.setdefault((p.role, p.thickness), []).append(p)
    shop_plates = []
    for n, ((role, thickness), group) in enumerate(plates.items(), 1):
        size = np.ptp(group[0].outline, axis=0)
        shop_plates.append(
            ShopPlate(
                mark=f"P{n}",
                label=f"{role} plate",
                length=float(size.max()),
                width=float(size.min()),
                thickness=thickness,
                names=tuple(g.name for g in group),
                holes=1,
                mass=1.0,
                steel=True,
            )
        )
        piece_of |= {g.name: f"P{n}" for g in group}
    return Shop(
        pieces=tuple(pieces),
        plates=tuple(shop_plates),
        plans=tuple((name, _plan(bars)) for name, bars in plans.items()),
        order=tuple(
            OrderLine(what=name, detail="bar 6 m", count=len(bars), length=6000.0, mass=20.0, cost=44.0,
                      price_assumed=True)
            for name, bars in plans.items()
        ),
        piece_of=piece_of,
        cost=132.0,
        order_mass=60.0,
        yield_share=0.8,
        currency="EUR",
    )  # fmt: skip


def _plan(bars):
    out = []
    for cuts in bars:
        at, made = 5.0, []
        for mark, length in cuts:
            made.append(Cut(mark=mark, start=at, length=length))
            at += length + 1.6
        bar = Bar(name="6 m", length=6000.0, price=44.0, trim=5.0)
        out.append(CutBar(bar=bar, cuts=tuple(made), offcut=6000.0 - at))
    return CutPlan(bars=tuple(out), kerf=1.6, cost=44.0, lower_bound=44.0, proven=True, method="hand")
