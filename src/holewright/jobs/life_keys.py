"""What every key of the documents of tool life and of the learned forecast means."""

from __future__ import annotations

from holewright.jobs.key_tables import FORECAST, JOB_HEAD, keys, reasons, under

_TOOL = (
    *keys("""
tool | string |  | The tool; empty where the file names none.
sentence | string |  | When to change it, in one sentence.
holes_cut | number |  | Holes cut at the last hole gauged.
holes_gauged | number |  | Holes gauged.
trend | object |  | Size over holes cut.
trend.middle_hole | number |  | Hole that the line is stated for.
trend.middle_mm | number | mm | Mean size there.
trend.drift_mm_100 | number | mm | Change of size per 100 holes, at the end of the line.
trend.drift_se_mm_100 | number | mm | Its standard error.
trend.scatter_mm | number | mm | Standard deviation of one hole about the line.
trend.bend_hole | number or null |  | Hole at which the line bends, where a bend is believed.
trend.method | string |  | least squares or interval regression.
bend | object or null |  | Strongest bend; null where there were too few holes to look.
bend.hole | number |  | Where it is.
bend.p | number |  | How often a straight line would show as strong a bend, at most.
due | object |  | When to change it.
due.hole | number |  | Last hole before the change; 0 where not even the first is safe.
due.likely | number |  | The same by the best estimate alone.
due.target | number |  | Share outside that may not be passed at any hole.
due.confidence | number |  | One-sided confidence.
due.side | string |  | Limit that it runs to: lower, upper, or empty.
due.outside | number |  | Upper bound on the share outside at that hole.
due.reach | number |  | That hole over the last one measured.
crossing | object or null |  | Where the mean reaches that limit.
crossing.limit_mm | number | mm | The limit.
crossing.hole | number |  | Most likely hole.
crossing.lower | number or null |  | Lower end of its interval.
crossing.upper | number or null |  | Upper end; null where the readings set none.
crossing.confidence | number |  | Two-sided confidence.
crossing.method | string |  | How the interval was found.
run | object |  | What the next run risks.
run.first | number |  | Its first hole.
run.holes | number |  | Its holes.
run.any_outside | number |  | Probability that any of them is outside.
run.expected_outside | number |  | Holes outside that are to be expected.
run.breaks | number or null |  | Probability that the tool breaks; null where nothing is known.
run.breaks_upper | number or null |  | Upper bound on it.
run.parts_at_risk | number |  | Parts that are held until the next check is good.
run.minutes | number | min | Its time.
check_every | number or null |  | Holes between checks that cost least.
"""),
    *reasons("because", "What it rests on, and what keeps it from being better known."),
)

LIFE = (
    *JOB_HEAD,
    *keys("""
sentence | string |  | When to change the tool in the machine.
tool | string |  | That tool: the last of the file.
tools[] | object |  | Every tool that could be followed.
"""),
    *under("tools[]", _TOOL),
    *reasons("not_followed", "Tools whose readings tell no trend."),
    *reasons("contradictions", "Readings that can't all be true."),
    *keys("""
like | object or null |  | What several tools have in common; null for one.
like.start_mm | number | mm | Size of the first hole less the tool's diameter, or the nominal.
like.start_between_mm | number | mm | Standard deviation of it between tools.
like.drift_mm_100 | number | mm | Change of size per 100 holes.
like.drift_between_mm_100 | number | mm | Standard deviation of it between tools.
like.new_due | number |  | Hole at which a new one of their kind is due.
like.new_due_likely | number |  | The same by the best estimate alone.
breaks | object or null |  | How long they last until they break, where breaks were named.
breaks.scale_holes | number |  | Holes that 63 % don't reach.
breaks.shape | number |  | Weibull shape: 1 by chance alone, above 1 by age.
breaks.failed | number |  | Tools seen to break.
cautions[] | string |  | Safety and scope lines.
path | string or null |  | Run chart, where it was written.
"""),
)

_CORRECTED = keys("""
prior | number | see quantity | By the handbook.
prior_sd | number | see quantity | Its standard uncertainty.
data | number or null | see quantity | What the shop's jobs say alone; null where they say nothing.
data_u | number or null | see quantity | Its standard uncertainty.
value | number | see quantity | Both together.
sd | number | see quantity | Its standard uncertainty.
jobs | number |  | Earlier jobs that share anything with it.
handbook_factor | number |  | What the jobs multiply the handbook's shared spreads by.
own_factor | number |  | What they multiply the spread of a single job by.
shares[] | object |  | By what the job shares with them.
shares[].kin | string |  | material, coolant, tool kind or machine.
shares[].name | string |  | Which one.
shares[].prior_sd | number | see quantity | Spread by the handbook.
shares[].value | number | see quantity | What it brings, after hearing the shop.
shares[].sd | number | see quantity | Its standard uncertainty.
shares[].jobs | number |  | Earlier jobs that share it.
""")

LEARNED = (
    *JOB_HEAD,
    *keys("""
forecast | object |  | The forecast, corrected by the shop's own jobs.
"""),
    *under("forecast", FORECAST),
    *keys("""
prior | object |  | The forecast by the handbook alone.
"""),
    *under("prior", FORECAST),
    *keys("""
jobs_heard | number |  | Earlier jobs that were heard.
offset | object |  | Hole less reamer, on the mean of the job. [mm]
"""),
    *under("offset", _CORRECTED),
    *keys("""
scatter | object |  | Natural logarithm of the scatter in mm.
"""),
    *under("scatter", _CORRECTED),
    *keys("""
drift | object or null |  | Change of size per hole. [mm]
"""),
    *under("drift", _CORRECTED),
)
