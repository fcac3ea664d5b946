"""Documents of the invented Brakelund Works, written by hand: no planner stands behind them."""

from __future__ import annotations

from datetime import datetime

from holewright.callout.callout import Callout, DrawingStandard, HoleKind, Limits
from holewright.gauging.estimate import Estimate, HoleInterval
from holewright.gauging.reading import Reading
from holewright.planning.plan import Operation, OperationKind, Plan, PlanVerdict, Route
from holewright.program.program import Program
from holewright.proof.verdict import Decision, Demands, NextStep, Verdict
from holewright.reasons import Reason
from holewright.sheets.header import SheetHeader
from holewright.shop.coolant import Coolant, Fluid
from holewright.shop.drill import Drill, DrillKind
from holewright.shop.holder import Holder, HolderKind
from holewright.shop.machine import Machine
from holewright.shop.material import Material
from holewright.shop.pin import BoreGauge, InstrumentKind, Pin, Sense
from holewright.shop.reamer import CoolantExit, Helix, Reamer, ReamerKind
from holewright.shop.shop import Shop
from holewright.sizing.forecast import Forecast
from holewright.uncertainty import Known, SizeDistribution, Tag, Term
from holewright.units import Unit

EIGHT_H7 = Limits(8.0, 8.015)  # ISO 286-1: IT7 of 6 to 10 mm is 15 µm
PLATE = Callout(
    text="8 H7 x 22 through",
    nominal=8.0,
    limits=EIGHT_H7,
    unit=Unit.MM,
    fit="H7",
    depth=22.0,
    standard=DrawingStandard.ISO,
    ra=0.8,
)
BODY = Callout(
    text=".3125 +.0005/-.0000 x .70 blind",
    nominal=7.9375,
    limits=Limits(7.9375, 7.9502),
    unit=Unit.INCH,
    kind=HoleKind.BLIND,
    depth=17.78,
    floor=23.876,
    standard=DrawingStandard.ASME,
    envelope=True,
)

_DRILL = Drill("D7.8", DrillKind.CARBIDE, Known(7.8, Tag.DEFAULT), LU=45, OAL=90, SIG=140)
REAMER = Reamer(
    id="R1",
    label="8 H7",
    kind=ReamerKind.HSS,
    DC=Known(8.0092, Tag.MEASURED, "micrometer", 0.0005),
    ZEFP=6,
    KAPR=45.0,
    lead=1.5,
    LU=60,
    OAL=117,
    DMM=8,
    helix=Helix.LEFT,
    coolant_exit=CoolantExit.SIDE,
    core=0.5,
    edge_radius=0.005,
    price=60,
    life_holes=Known(1200, Tag.ASSUMED),
)
MACHINE = Machine(
    id="mill 3",
    n_min=50,
    n_max=12000,
    power=15000,
    thrust=8000,
    rapid=30000,
    feed_max=15000,
    tool_change_s=4,
    rate=85,
    spindle_tir=Known(0.002, Tag.MEASURED),
)
COOLANT = Coolant(Fluid.SOLUBLE, through=True, pressure=40, concentration=8)
STEEL = Material(
    name="16MnCr5",
    aliases=(),
    iso513="P",
    kc11=Known(2100, Tag.STANDARD),
    mc=Known(0.26, Tag.STANDARD),
    hardness_hb=Known(170, Tag.MEASURED),
    alpha=Known(11.5e-6, Tag.DEFAULT),
    e_modulus=Known(210000, Tag.DEFAULT),
    family="low-alloy-steel",
)
PINS = (
    Pin("8.00", 8.00, Sense.PLUS),
    Pin("8.01", 8.01, Sense.MINUS),
    Pin(
        "cal 8.015", 8.015, Sense.MINUS, grade="", calibrated=Known(8.0149, Tag.MEASURED, "", 2e-4)
    ),
)
BORE_GAUGE = BoreGauge("BG1", InstrumentKind.THREE_POINT, Known(0.001, Tag.MEASURED), 0.001)
SHOP = Shop(
    name="Brakelund Works",
    machines=(MACHINE,),
    holders=(Holder("H1", HolderKind.HYDRAULIC, Known(0.003, Tag.MEASURED)),),
    drills=(_DRILL,),
    reamers=(REAMER,),
    pins=PINS,
    bore_gauges=(BORE_GAUGE,),
)

ROUTE = Route(
    name="drill 7.8, ream 8 H7",
    operations=(
        Operation(
            OperationKind.DRILL, "D7.8", 7.8, v_c=80, n=3265, f=0.2, full_depth=23.5, tip_depth=24.9
        ),
        Operation(
            OperationKind.CHAMFER, "C90", 8.6, v_c=25, n=925, f=0.08, full_depth=0.3, dwell_s=0.3
        ),
        Operation(OperationKind.WASH, "air", 0.0, text="Blow the chips out.", by_hand=True),
        Operation(
            OperationKind.REAM,
            "R1",
            8.0092,
            v_c=12,
            n=477,
            f=0.3,
            full_depth=23.5,
            tip_depth=25.0,
            holder="H1",
            feed_out=1.0,
            numbers=(("reamer diameter DC [mm]", REAMER.DC),),
        ),
    ),
    cost_per_good_hole=1.2,
    cost_parts=(),
    time_s=20,
    outside=0.01,
)
FORECAST = Forecast(
    SizeDistribution((Term("reamer", 8.0092, 0.0016, Tag.MEASURED, "test"),)), EIGHT_H7
)
PLAN = Plan(
    verdict=PlanVerdict.REAM_WITH_CONDITIONS,
    sentence="Ream, if the runout is small.",
    route=ROUTE,
    forecast=FORECAST,
    conditions=(Reason("runout", "Runout at the lead at most 5 µm."),),
    check_plan=("GO: pin 8.00; NO-GO: pin cal 8.015.", "Check at three depths."),
    cautions=("Stop the spindle before you gauge.", "Guards closed."),
)
PROGRAM = Program(
    text="%\nG21\n%\n",
    unit=Unit.MM,
    holes=((0.0, 0.0), (60.0, 0.0), (60.0, 44.0), (0.0, 44.0)),
    seconds=(("drill", 9.0), ("ream", 31.5)),
    cautions=(),
)
READINGS = (
    Reading("A", "8.00", goes=True, part_c=22, gauge_c=21),
    Reading("A", "8.01", goes=False, part_c=22, gauge_c=21),
    Reading("B", "8.00", goes=True, part_c=22, gauge_c=21, note="first try stuck"),
    Reading("B", "BG1", size=8.009, part_c=22, gauge_c=21),
)
ESTIMATE = Estimate(
    n_holes=2,
    method="by hand, for a test",
    size_kind="maximum inscribed (pin)",
    holes=(HoleInterval("A", 8.0, 8.01), HoleInterval("B", 8.009, 8.009, 0.001)),
    good=2,
    bad=0,
    unsure=0,
    inside_lower=0.2236,
    inside=0.98,
    below=0.001,
    above=0.019,
    mean=8.0085,
    sd=0.002,
    mean_interval=(8.004, 8.012),
    sd_interval=(0.001, 0.02),
    limits_of_knowledge=(Reason("too-few-holes", "Too few holes: 2 of 2."),),
)
VERDICT = Verdict(
    decision=Decision.HOLD,
    sentence="Hold: 22.3 % are shown to be inside; 99 % is asked for.",
    because=(Reason("share-not-shown", "22.3 % shown, 99 % asked for."),),
    next=(NextStep("Gauge 297 more.", 297),),
    inside_lower=0.2236,
    demands=Demands(source="the customer"),
    ppk=1.08,
    ppk_lower=0.31,
    cautions=("Stop the spindle before gauging.",),
)


def header(**changes: object) -> SheetHeader:
    """Return the head of Job A, with changes."""
    values: dict[str, object] = {
        "job": "Carriage plate",
        "part": "BW-1204",
        "revision": "C",
        "drawing": "BW-1204-D",
        "unit": Unit.MM,
        "machine": "mill 3",
        "date": datetime(2026, 3, 14, 9, 30),
        "version": "9.8.7",
        "data_version": "2026.1",
        "invented": True,
        "quantity": "480 a year",
    }
    return SheetHeader(**(values | changes))  # type: ignore[arg-type]
