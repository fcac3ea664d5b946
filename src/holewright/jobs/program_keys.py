"""What the keys of the documents about programs and found holes mean."""

from __future__ import annotations

from holewright.jobs.key_tables import HEAD, keys

BACKPLOT = (
    *HEAD,
    *keys("""
name | string |  | Job, or file.
path | string or null |  | File that the picture was written to.
invented | boolean |  | Whether it is an invented example.
unit | string |  | Unit of the program's words.
total_s | number | s | Time of one part.
tools[] | object |  | What happens between one tool change and the next.
tools[].tool | number |  | T word.
tools[].does | string |  | What its comments say that it does.
tools[].diameter_mm | number or null | mm | Largest diameter that they name.
tools[].work_offset | string |  | G54 to G59.
tools[].holes[] | object |  | Holes in the order in which it cuts them.
tools[].holes[].x_mm | number | mm | Centre.
tools[].holes[].y_mm | number | mm | Centre.
tools[].holes[].bottom_mm | number | mm | Lowest Z of the tip.
tools[].holes[].feed_entry_mm_min | number | mm/min | Feed speed on the first stretch in.
tools[].holes[].feed_in_mm_min | number | mm/min | Feed speed on the last stretch in.
tools[].holes[].feed_out_mm_min | number | mm/min | Feed speed out; 0 for rapid.
tools[].holes[].n_1_min | number | 1/min | Spindle speed.
tools[].holes[].feeds | number |  | Feed moves on the way in.
tools[].holes[].dwell_s | number | s | Dwell in the hole.
clashes[] | object |  | Whatever it would hit.
clashes[].line | number |  | Line of the program.
clashes[].tool | number |  | T word.
clashes[].code | string |  | Short name for a machine.
clashes[].text | string |  | What happens.
"""),
)

TIME = (
    *HEAD,
    *keys("""
name | string |  | Job, or file.
invented | boolean |  | Whether it is an invented example.
machine | string or null |  | Machine of the job; null for a usual one.
tools[] | object |  | What happens between one tool change and the next.
tools[].tool | number |  | T word.
tools[].does | string |  | What its comments say that it does.
tools[].rapid_s | number | s | At rapid.
tools[].feed_s | number | s | At feed.
tools[].dwell_s | number | s | In dwells.
tools[].spindle_s | number | s | Waiting for the spindle.
tools[].change_s | number | s | Tool change, chip to chip.
tools[].total_s | number | s | All of it.
tools[].naive_s | number | s | Lengths over speeds, as if nothing had mass.
tools[].stops | number |  | Stops for a person, whose time is not known.
total_s | number | s | Time of one part.
naive_s | number | s | The same by lengths over speeds.
stops | number |  | Stops for a person.
"""),
)

HOLES = (
    *HEAD,
    *keys("""
source | string |  | File that the holes were read from.
path | string or null |  | Job file that was written.
groups[] | object |  | Holes of one size, made from one side, that begin at one height.
groups[].name | string |  | Its letter.
groups[].diameter_mm | number | mm | Diameter.
groups[].direction | array |  | Unit vector into the material.
groups[].level_mm | number | mm | Height of the entry face against the direction.
groups[].kind | string or null |  | through or blind; null where nobody says.
groups[].holes[] | object |  | Its holes.
groups[].holes[].name | string |  | Its number, or its name in a table.
groups[].holes[].entry_mm | array | mm | Where the axis goes through the entry face.
groups[].holes[].x_mm | number | mm | Centre as a machine sees it that drills that way.
groups[].holes[].y_mm | number | mm | Centre as a machine sees it that drills that way.
groups[].holes[].diameter_mm | number | mm | Diameter.
groups[].holes[].depth_mm | number or null | mm | From the entry face to the full diameter's end.
groups[].holes[].point_mm | number | mm | How far the floor's point reaches beyond.
groups[].holes[].point_angle_deg | number or null | deg | Included angle of the point.
groups[].holes[].entry_slope_deg | number | deg | Slope of the entry face.
groups[].holes[].exit_slope_deg | number | deg | Slope of the far face.
groups[].holes[].chamfer_mm | number or null | mm | Diameter of the chamfer at the entry.
groups[].holes[].wall_mm | number or null | mm | Thinnest wall beside it.
groups[].holes[].cross_bores[] | object |  | Bores that cross it.
groups[].holes[].cross_bores[].diameter_mm | number | mm | Diameter.
groups[].holes[].cross_bores[].depth_mm | number | mm | Depth of its axis.
groups[].holes[].gaps_mm[] | array | mm | Depths between which the hole has no wall.
groups[].holes[].callout | string |  | Callout, where a table says it.
"""),
)
