"""What every key of the documents of a test plate means."""

from __future__ import annotations

from holewright.jobs.key_tables import JOB_HEAD, keys, reasons, under

_FACTOR = keys("""
factor | string |  | feed, speed, stock, depth, coolant, holder or reamer.
levels | array | see factor | Feed and speed as multiples of the plan, lengths in mm, names.
""")

_LEVELS = keys("""
levels[] | object |  | Level of each factor.
levels[].factor | string |  | The factor.
levels[].level | number or string | see factor | Its level.
""")

_EFFECT = keys("""
quantity | string |  | size (mm), finish (factor on Ra) or chips (log odds towards longer chips).
name | string |  | Factor, level, pair of factors, or order of cutting.
step | string |  | The step that it is said for.
value | number | see quantity | The effect.
lower | number or null | see quantity | Lower end of its interval.
upper | number or null | see quantity | Upper end of its interval.
confidence | number |  | Two-sided confidence of the interval.
shown | boolean |  | Whether no effect lies outside the interval.
sentence | string |  | The same in words.
""")

PLATE = (
    *JOB_HEAD,
    *keys("""
factors[] | object |  | What is varied.
"""),
    *under("factors[]", _FACTOR),
    *keys("""
rows[] | object |  | Each setting, row A first.
rows[].row | string |  | The row in words.
"""),
    *under("rows[]", _LEVELS),
    *keys("""
holes_a_row | number |  | Holes in each row.
order | string |  | rows, blocks or random.
seed | number |  | Seed of what is random in the order.
pitch_mm | number | mm | Distance of neighbours.
need | object or null |  | Why there are so many holes; null where somebody said how many.
need.difference_mm | number | mm | Difference between two rows that is to be seen.
need.power | number |  | How often it is seen when it is there.
need.alpha | number |  | How often it is seen when it isn't.
need.holes_a_row | number |  | Holes a row with these pins.
need.at_pin | number or null |  | The same if the size falls on a pin; null: over 200.
need.between_pins | number or null |  | The same half-way between two pins.
need.measured | number |  | The same if every hole is measured with a gauge that reads.
"""),
    *reasons("orders", "What the order costs, and what the others would; the one taken first."),
    *reasons("noted", "What can't be told apart; rows beyond a limit of the plan."),
    *keys("""
holes[] | object |  | Every hole, in the order of cutting.
holes[].hole | string |  | Row letter and place in the row.
holes[].cut | number |  | Place in the order of cutting.
holes[].x_mm | number | mm | Centre from the plate's zero.
holes[].y_mm | number | mm | Centre from the plate's zero.
"""),
    *under("holes[]", _LEVELS),
    *keys("""
cautions[] | string |  | Safety and scope lines.
paths | object |  | Files written; null where none was.
paths.program | string or null |  | The program.
paths.sheet | string or null |  | The check sheet.
paths.results | string or null |  | The file to fill in.
"""),
)

PLATE_RESULT = (
    *JOB_HEAD,
    *keys("""
sentence | string |  | What to run, in one sentence.
recommended | array or null |  | Level of each factor to run; null where none can be recommended.
holes | number |  | Holes with a usable reading.
factors[] | object |  | What was varied.
"""),
    *under("factors[]", _FACTOR),
    *keys("""
effects[] | object |  | What a step of each factor did to size, chips and finish.
"""),
    *under("effects[]", _EFFECT),
    *keys("""
drift | object |  | What cutting did to size, from the first hole to the last.
"""),
    *under("drift", _EFFECT),
    *keys("""
means[] | object |  | Mean size at each level, all else at its average.
means[].factor | string |  | The factor.
means[].level | string |  | The level in words.
means[].place | number |  | The level as a number, or its place among names.
means[].mean_mm | number | mm | Mean size.
means[].lower_mm | number or null | mm | Lower end of its interval.
means[].upper_mm | number or null | mm | Upper end of its interval.
means[].holes | number |  | Holes cut at it.
rows[] | object |  | What each setting gave.
rows[].row | string |  | The setting in words.
"""),
    *under("rows[]", _LEVELS),
    *keys("""
rows[].holes | number |  | Holes cut.
rows[].mean_mm | number | mm | Mean size.
rows[].lower_mm | number or null | mm | Lower end of its interval.
rows[].upper_mm | number or null | mm | Upper end of its interval.
rows[].inside | number |  | Share of holes inside the limits, by the fit.
rows[].good_chips | number or null |  | Share of holes whose chips leave by themselves.
rows[].ra_um | number or null | µm | Median Ra.
rows[].ra_within | number or null |  | How likely a hole keeps the greatest Ra.
rows[].speed | number |  | Feed speed over that planned.
scatter_mm | number | mm | Scatter of one hole about what its setting explains.
scatter_se_mm | number | mm | Its standard error.
"""),
    *reasons("because", "Why that setting, then why not each other."),
    *keys("""
not_shown[] | string |  | What the plate did not show.
"""),
    *reasons("noted", "What to know about the analysis; readings that can't all be true."),
    *keys("""
cautions[] | string |  | Safety and scope lines.
path | string or null |  | Picture of the main effects, where it was written.
"""),
)
