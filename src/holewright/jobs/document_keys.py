"""What every key of the JSON documents means; ``docs/reference/json.md`` is made from it.

A path writes ``a.b`` for key b in the object a, and ``a[].b`` for key b of each item of list a.
"""

from __future__ import annotations

from holewright.jobs.fault_documents import FINDING
from holewright.jobs.key_tables import (
    BESIDE_FORECAST,
    CALLOUT,
    FORECAST,
    HEAD,
    JOB_HEAD,
    REASON,
    Key,
    keys,
    reasons,
    under,
)
from holewright.jobs.life_keys import LEARNED, LIFE
from holewright.jobs.plate_keys import PLATE, PLATE_RESULT
from holewright.jobs.process_keys import FORM, WHY, WINDOW
from holewright.jobs.program_keys import BACKPLOT, HOLES, TIME
from holewright.jobs.proof_keys import ANSWER, ESTIMATE, PINS, STANDING, VERDICT

_OPERATION = keys("""
kind | string |  | spot-face, spot, drill, bore, chamfer, wash, ream or hone.
tool | string |  | Its id in the tool room, or what would have to be got.
holder | string |  | Id of the holder, or empty.
diameter_mm | number | mm | Diameter that it cuts.
v_c_m_min | number | m/min | Cutting speed.
n_1_min | number | 1/min | Spindle speed.
f_mm_rev | number | mm/rev | Feed per revolution.
v_f_mm_min | number | mm/min | Feed speed.
full_depth_mm | number | mm | Depth to which the full diameter reaches.
tip_depth_mm | number | mm | Depth of the tip, the programmed depth.
peck_mm | number | mm | Depth of one peck; 0 for none.
dwell_s | number | s | Dwell at depth.
feed_out | number |  | Feed speed out as a multiple of that in; 0 for rapid.
time_s | number | s | Time per hole, tool change apart.
by_hand | boolean |  | Whether it is outside the program.
text | string |  | What to do and why.
numbers[] | object |  | The numbers behind it.
numbers[].name | string |  | Name with its unit.
numbers[].value | number or null | see name | The value.
numbers[].u | number or null | see name | Its standard uncertainty.
numbers[].tag | string |  | measured, standard, computed, default or assumed.
numbers[].source | string |  | Who or what says so.
""")

_ROUTE = keys("""
name | string |  | The route in words.
cost_per_good_hole | number or null | shop's currency | Cost of one hole inside the limits.
cost_parts[] | object |  | What that is made of.
cost_parts[].name | string |  | Part of the cost.
cost_parts[].cost | number or null | shop's currency | Its amount.
time_s | number | s | Time per hole.
outside | number or null | share | Forecast share of holes outside the limits.
text | string |  | How it compares with the first choice.
""")

_PIN = keys("""
size_mm | number | mm | Size to mark on it.
sense | string |  | plus or minus.
grade | string or null |  | Class of ASME B89.1.5 by the 10 % rule; null where none is fine enough.
tolerance_mm | number | mm | Maker's tolerance of that class.
""")

LIMITS = (
    *HEAD,
    *CALLOUT,
    *keys("""
reamer | object |  | Make limits of the reamer.
reamer.lower_mm | number | mm | Smallest measured diameter to pick or order.
reamer.upper_mm | number | mm | Largest measured diameter to pick or order.
reamer.reason | object or null |  | Why they need care.
"""),
    *under("reamer.reason", REASON),
    Key("pins", "object", "Gauge pair by the 10 % rule, without regard to the drawer."),
    Key("pins.go", "object", "The GO pin."),
    *under("pins.go", _PIN),
    Key("pins.no_go", "object", "The NO-GO pin."),
    *under("pins.no_go", _PIN),
    *reasons("pins.reasons", "What to know about the pair."),
    *keys("""
warmth | object |  | What a warm part does to the size.
warmth.part_c | number | °C | Temperature of the part.
warmth.part_c_stated | boolean |  | Whether it was stated; otherwise an example.
warmth.growths[] | object |  | Steel, and the material asked about.
warmth.growths[].material | string |  | Material.
warmth.growths[].growth_mm | number | mm | Size at that temperature less size at 20 °C.
warmth.growths[].alpha_1_k | number | 1/K | Thermal expansion.
warmth.growths[].tag | string |  | How that is known.
warmth.growths[].source | string |  | Who says so.
"""),
)

PLAN = (
    *JOB_HEAD,
    *keys("""
verdict | string |  | ream, ream with conditions, or do not ream.
sentence | string |  | The verdict and its first reason.
route | object or null |  | First choice; null where nothing at hand can make the hole.
"""),
    *under("route", _ROUTE),
    Key("operations[]", "object", "Its operations in order."),
    *under("operations[]", _OPERATION),
    Key("forecast", "object or null", "Size that it will give; null where none can be forecast."),
    *under("forecast", FORECAST),
    *BESIDE_FORECAST,
    *reasons("conditions", "What must be so for the verdict to hold."),
    Key("alternatives[]", "object", "Others that would do, by cost of a good hole."),
    *under("alternatives[]", _ROUTE),
    Key("alternatives[].operations[]", "object", "Their operations."),
    *under("alternatives[].operations[]", _OPERATION),
    *reasons("refused", "What was turned down and why, the most telling first."),
    *keys("""
instead[] | string |  | What to do instead, where the verdict is not to ream.
check_plan[] | string |  | How to check the holes.
cautions[] | string |  | Safety lines.
defaults[] | string |  | Fields that the job file left out, and what was taken.
evaluated | number |  | Candidate points computed.
possible | number |  | Of these, how many break no limit.
"""),
)

PROGRAM = (
    *JOB_HEAD,
    *keys("""
path | string or null |  | File it was written to.
unit | string |  | Unit of the program's words.
features[] | object |  | Hole features that it makes.
features[].callout | string |  | Callout with its material.
features[].route | string |  | Route.
features[].holes | number |  | How many holes.
time_by_operation[] | object |  | Time by operation for one part.
time_by_operation[].operation | string |  | Operation.
time_by_operation[].seconds | number | s | Its time.
total_s | number | s | Their sum.
stops | number |  | Stops for a person, whose time is not in it.
way_mm | number | mm | Way from hole to hole, over clamps and down again, by all tools together.
holes_mm | array | mm | Hole centres, [x, y] each, in the order of their last tool.
cautions[] | string |  | Cautions that its header carries.
text | string |  | The program itself.
"""),
)

SHEET = (
    *JOB_HEAD,
    *keys("""
paths | object |  | Files written.
paths.setup | string |  | The setup sheet; only if it was made.
paths.proof | string |  | The proof report; only if it was made.
paths.test-cut | string |  | The test-cut record; only if it was made.
paths.gauging | string |  | The gauging sheet; only if it was made.
paths.traveller | string |  | The hole traveller; only if it was made.
"""),
)

ERROR = keys("""
document | string |  | error.
version | number |  | Version of its format.
text | string |  | The message, as on standard error.
field | string |  | Field that can't be used; missing where the input is sound but has no answer.
value | string |  | Its value as it was written.
accepted | string |  | What would be accepted.
where | string or null |  | File and line, or row and column.
readings[] | string |  | Where it can be read in several ways: each, ready to be typed.
""")

DEMO = (
    *HEAD,
    *keys("""
out | string |  | Folder written to.
invented | boolean |  | Always true: the scenario is invented.
jobs[] | object |  | The jobs run, in order.
jobs[].job | string |  | Name of the job.
jobs[].plan | string |  | Verdict of the plan.
jobs[].verdict | string |  | Verdict on the lot.
jobs[].files[] | string |  | Files written for it.
jobs[].truth | object |  | What the simulation knew.
jobs[].truth.mean_mm | number | mm | True mean of all holes simulated.
jobs[].truth.sd_mm | number | mm | True standard deviation.
jobs[].truth.inside | number | share | True share inside.
jobs[].found | object |  | What the gauges allowed to say.
jobs[].found.mean_mm | number or null | mm | Estimated mean.
jobs[].found.sd_mm | number or null | mm | Estimated standard deviation.
jobs[].found.inside_lower | number | share | Share shown to be inside.
"""),
)

BOOK = (
    *HEAD,
    *keys("""
action | string |  | init, status, backup, restore, import, export or migrate.
book | string |  | Where the record book is; a password is never shown.
path | string or null |  | File read or written.
job | string |  | Name of the job or tool room that was read in or written, or empty.
revision | number or null |  | Number of the job's revision that it belongs to.
counts[] | object |  | How many of each sort.
counts[].name | string |  | Sort.
counts[].count | number |  | How many.
problems[] | string |  | What is wrong with the book, where it was looked for.
overdue[] | string |  | Gauges whose calibration is overdue.
verdict | string or null |  | release or hold, where readings were judged.
sentence | string or null |  | The verdict in one sentence.
"""),
)

DOCUMENTS = {
    "limits": LIMITS,
    "plan": PLAN,
    "why": WHY,
    "window": WINDOW,
    "form": FORM,
    "forecast": LEARNED,
    "program": PROGRAM,
    "backplot": BACKPLOT,
    "time": TIME,
    "holes": HOLES,
    "estimate": ESTIMATE,
    "verdict": VERDICT,
    "plate": PLATE,
    "plate-result": PLATE_RESULT,
    "life": LIFE,
    "finding": FINDING,
    "pins": PINS,
    "standing": STANDING,
    "answer": ANSWER,
    "sheet": SHEET,
    "demo": DEMO,
    "book": BOOK,
    "error": ERROR,
}
"""Kind of document -> its keys, in the order in which they are written."""
