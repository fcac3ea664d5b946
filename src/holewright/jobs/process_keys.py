"""What the keys mean in the JSON documents about the process: form, window, why."""

from __future__ import annotations

from holewright.jobs.key_tables import JOB_HEAD, keys

FORM = (
    *JOB_HEAD,
    *keys("""
reamer | string |  | Id of the reamer looked at.
holder | string |  | Id of its holder.
reamer_mm | number | mm | Diameter of the reamer, to which the sizes below are to be added.
spacing_deg | array | deg | Angles of its teeth.
even | boolean |  | Whether they were taken as evenly spaced.
growth | number |  | Growth of whirl in one turn; over 1 it builds up.
turns_per_revolution | number or null |  | How often whirl goes round in a turn, negative backward.
lobes | number or null |  | Lobes that it would leave; null where whirl dies out.
sentences[] | string |  | The same in plain words.
stiffness_n_mm | number | N/mm | Side stiffness at the lead.
f_mm_rev | number | mm/rev | Feed.
stock_side_mm | number | mm | Stock per side.
eccentricity_mm | number | mm | Eccentricity at the lead.
tooth_errors_mm | array | mm | Radial error of each tooth; empty for true teeth.
levels[] | object |  | Sizes down the hole, each less the reamer's diameter.
levels[].depth_mm | number | mm | Depth.
levels[].mean_mm | number | mm | Least-squares circle.
levels[].pin_mm | number | mm | Maximum inscribed circle: what a pin feels.
levels[].circumscribed_mm | number | mm | Minimum circumscribed circle.
levels[].two_point_mm | array | mm | Least and greatest two-point size.
levels[].three_point_mm | array | mm | Least and greatest reading of three points at 120 degrees.
levels[].roundness_mm | number | mm | Greatest less least radius.
straight_pin_mm | number | mm | What a straight pin through all levels would feel.
harmonics_mm | array | mm | Amplitude of 0, 1, 2 and more lobes at the last level.
outline_mm | array | mm | Radius of the wall there, less that of the reamer.
not_in_the_model[] | string |  | What the model does not do.
"""),
)

WINDOW = (
    *JOB_HEAD,
    *keys("""
drill | string |  | Id of the drill that the window holds for.
reamer | string |  | Id of the reamer.
holder | string |  | Id of the holder.
chosen | object |  | The point that the plan chose.
chosen.v_c_m_min | number | m/min | Its cutting speed.
chosen.f_mm_rev | number | mm/rev | Its feed.
nearest | object or null |  | The border nearest to it; null where none crosses the window.
nearest.code | string |  | Code of its limit.
nearest.factor | number |  | Factor on speed or feed that reaches it.
v_c_m_min | array | m/min | Speeds of the grid, rising.
f_mm_rev | array | mm/rev | Feeds of the grid, rising.
allowed | array |  | For each speed, for each feed: whether every limit is kept.
borders[] | object |  | Limits that cross the window.
borders[].code | string |  | Short name for a machine.
borders[].name | string |  | Name for a person.
borders[].published | boolean |  | Whether it is the end of a published range.
borders[].text | string |  | What is just beyond it.
borders[].lines | array |  | Polylines of [speed m/min, feed mm/rev].
closed_by[] | string |  | What alone forbids the whole window.
cautions[] | string |  | Safety lines.
"""),
)

WHY = (
    *JOB_HEAD,
    *keys("""
numbers[] | object |  | The numbers asked about.
numbers[].name | string |  | What it is asked for by.
numbers[].what | string |  | What it is.
numbers[].formula | string |  | Its formula, in symbols of the standards.
numbers[].value | number or null | see unit | Its value.
numbers[].unit | string |  | Its unit.
numbers[].inputs[] | object |  | What went into it.
numbers[].inputs[].name | string |  | Name with its unit.
numbers[].inputs[].value | number or null | see name | The value.
numbers[].inputs[].u | number or null | see name | Its standard uncertainty.
numbers[].inputs[].tag | string |  | measured, standard, computed, default or assumed.
numbers[].inputs[].source | string |  | Who or what says so.
numbers[].source | string |  | Where the formula comes from, and what it doesn't say.
"""),
)
