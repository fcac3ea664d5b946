"""What every key of estimate, verdict, choice of pins, standing and answer means."""

from __future__ import annotations

from holewright.jobs.key_tables import HEAD, JOB_HEAD, Key, keys, reasons, under

_HEARD = keys("""
prior | object |  | The forecast before any reading.
prior.mean_mm | number | mm | Mean of a set of holes.
prior.u_mm | number | mm | Its standard uncertainty.
prior.sd_mm | number | mm | Scatter from hole to hole.
prior.inside | number | share | Share inside by the forecast alone.
mean_mm | number | mm | Mean by forecast and readings together, median.
mean_interval_mm | array | mm | Its interval.
sd_mm | number | mm | Scatter, median.
sd_interval_mm | array | mm | Its interval.
inside | number | share | Chance that the next hole is inside.
inside_interval | array | share | Interval of the share inside.
outside_in_lot_upper | number or null |  | Most holes not checked that may be outside.
ppk | number or null |  | Ppk, median.
ppk_lower | number or null |  | What Ppk is at least, one-sided.
draws | number |  | Effective number of draws behind it.
trusted | boolean |  | Whether they are enough for the ends of the intervals.
""")

ESTIMATE = (
    *JOB_HEAD,
    *keys("""
mean_mm | number or null | mm | Fitted mean at 20 °C; null where no finite fit exists.
sd_mm | number or null | mm | Fitted standard deviation.
mean_interval_mm | array or null | mm | Lower and upper end of the interval of the mean.
sd_interval_mm | array or null | mm | Lower and upper end of the interval of the deviation.
confidence | number |  | Confidence of bounds and intervals.
inside | object |  | Share of all holes of this process that is inside.
inside.share | number or null | share | Best estimate; null where the data allow none.
inside.lower | number | share | Lower bound at that confidence, one-sided.
inside.lower_95 | number or null | share | The same where the confidence is 95 %, else null.
inside.by | string |  | Which bound that is: counted, or fitted where the fit has earned it.
inside.counted | number or null | share | Bound by counting, exact whatever the distribution.
inside.fitted | number or null | share | Bound of the fitted normal distribution.
inside.interval | array or null | share | Two-sided interval of the share from the fit.
inside.below | number or null | share | Best estimate of the share below.
inside.above | number or null | share | Best estimate of the share above.
method | string |  | How it was reckoned.
size_kind | string |  | Which size it is about, in words of ISO 14405-1.
n_holes | number |  | Holes with a usable reading.
good | number |  | Holes shown to be inside.
bad | number |  | Holes shown to be outside.
unsure | number |  | Neither.
intervals[] | object |  | What is known hole by hole.
intervals[].hole | string |  | Name of the hole.
intervals[].lower_mm | number or null | mm | Lower bound of its size.
intervals[].upper_mm | number or null | mm | Upper bound of its size.
intervals[].u_mm | number | mm | Standard uncertainty of the bounds.
intervals[].shown | string or null |  | inside, outside or neither.
"""),
    *reasons("contradictions", "Readings that can't all be true."),
    *reasons("remarks", "Shape, holes apart, two groups; what makes readings no evidence."),
    *reasons("limits_of_knowledge", "What keeps this from being known better, the worst first."),
    *keys("""
sensitivity[] | object |  | The same at other clearances and feels; empty without pins.
sensitivity[].clearance_mm | number | mm | By how much a hole is larger than a pin that goes.
sensitivity[].feel_mm | number | mm | Spread of the judgement.
sensitivity[].good | number |  | Holes shown to be inside.
sensitivity[].inside_lower | number | share | Bound by counting.
sensitivity[].mean_mm | number or null | mm | Fitted mean.
sensitivity[].sd_mm | number or null | mm | Spread of the holes.
"""),
    Key("with_forecast", "object or null", "Forecast and readings together, where asked for."),
    *under("with_forecast", _HEARD),
)

VERDICT = (
    *JOB_HEAD,
    *keys("""
verdict | string |  | release or hold.
sentence | string |  | The verdict in one sentence.
"""),
    *reasons("because", "The rules applied, those that hold it back first."),
    *keys("""
next[] | object |  | What would settle it, best first.
next[].text | string |  | The sentence for a person.
next[].holes | number or null |  | How many more holes to check.
next[].gauge | string |  | Which pin or instrument; empty if any.
inside_lower | number | share | Share of holes inside that is shown.
lot | number or null |  | Holes in the lot judged.
outside_in_lot_upper | number or null |  | Most holes of the lot that may be outside.
ppk | number or null |  | Ppk; null where no finite fit exists.
ppk_lower | number or null |  | Its one-sided lower bound.
demands | object |  | What was asked for.
demands.inside | number | share | Least share inside.
demands.confidence | number |  | Confidence at which it must be shown.
demands.ppk | number or null |  | Least Ppk.
demands.guard | number |  | Factor on a gauge's uncertainty that a hole must keep from its limits.
demands.source | string |  | Who asks.
"""),
    Key("with_forecast", "object or null", "Forecast and readings together; no release uses it."),
    *under("with_forecast", _HEARD),
    Key("cautions[]", "string", "Safety and scope lines."),
)

_RISK = keys("""
passes_bad | number | share | Holes made that are bad and passed.
refuses_good | number | share | Holes made that are good and refused.
""")
_PAIR = (
    *keys("""
go | string or null |  | Pin of the tool room; null where none can serve.
no_go | string or null |  | The same at the upper limit.
"""),
    *_RISK,
    Key("at_lower", "object", "Risk at the lower limit."),
    *under("at_lower", _RISK),
    Key("at_upper", "object", "Risk at the upper limit."),
    *under("at_upper", _RISK),
)

PINS = (
    *JOB_HEAD,
    *keys("""
forecast | object |  | The holes that will come.
forecast.mean_mm | number | mm | Mean size.
forecast.sd_mm | number | mm | Standard uncertainty of one hole's size.
forecast.outside | number | share | Share forecast outside the limits.
bad_costs | number |  | What a bad hole passed costs, in good holes refused.
"""),
    Key("proving", "object", "Pins that prove their limit whatever their own error."),
    *under("proving", _PAIR),
    Key("least_wrong", "object", "Pins with the fewest wrong decisions for these holes."),
    *under("least_wrong", _PAIR),
    *keys("""
ideal | object |  | What the 10 % rule asks for.
ideal.go_mm | number | mm | Size to mark on a GO, a plus pin.
ideal.no_go_mm | number | mm | Size to mark on a NO-GO, a minus pin.
ideal.grade | string or null |  | Its class; null where none is fine enough.
"""),
    *reasons("reasons", "What the choice costs, why pins can't serve, and which would."),
)

STANDING = (
    *JOB_HEAD,
    *keys("""
where | string |  | Where the answers are kept.
checked | number |  | Holes with a reading.
good | number |  | Holes shown to be inside.
bad | number |  | Holes shown to be outside.
unsure | number |  | Neither.
inside_lower | number | share | Share of holes inside that is shown.
enough | boolean |  | Whether what is asked for is shown.
text | string |  | How things stand, on one line.
next | object or null |  | The check that comes next; null when nothing is left to ask.
next.hole | string |  | Name of the hole.
next.gauge | string |  | Pin or bore gauge of the tool room.
next.use | string |  | GO, NO-GO, size, or empty.
next.why | string |  | What its answer shows.
"""),
)

ANSWER = (
    *HEAD,
    *keys("""
question | string |  | What was asked, e.g. lot, need, curve, feel.
headline | string |  | The answer in a few words.
about | string |  | What it is about.
sentences[] | string |  | What it means, in plain words.
numbers[] | object |  | The numbers behind it.
numbers[].name | string |  | Short name for a machine.
numbers[].text | string |  | What it is, for a person.
numbers[].said | string |  | The number as a person reads it.
numbers[].value | number or null | see unit | The number.
numbers[].unit | string |  | mm, 1/mm, share, holes, parts or 1.
numbers[].interval | array or null | see unit | Its ends, where it has an interval.
"""),
    *reasons("warnings", "What is wrong with the question, the data or the answer."),
    *keys("""
method | string |  | How it was reckoned, and for what it holds.
curve | object or null |  | Where the answer is a curve: its points.
curve.x | string |  | What runs along.
curve.y | string |  | What runs up.
curve.points | array |  | Points [x, y] from left to right.
curve.marks | array |  | Points worth naming, [x, y, words] each.
"""),
)
