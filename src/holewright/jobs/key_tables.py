"""Keys that several JSON documents share, and the tables in which keys are written down."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Key:
    """One key of a document: where it stands, its type, its unit and its meaning."""

    path: str
    type: str
    meaning: str
    unit: str = ""


def keys(table: str) -> tuple[Key, ...]:
    """Return the keys of a table: path, type, unit and meaning, parted by bars."""
    rows = (line.split(" | ") for line in table.strip().splitlines())
    return tuple(
        Key(path.strip(), kind.strip(), meaning.strip(), unit.strip())
        for path, kind, unit, meaning in rows
    )


def under(path: str, inner: tuple[Key, ...]) -> tuple[Key, ...]:
    """Return keys as they stand inside an object."""
    return tuple(Key(f"{path}.{key.path}", key.type, key.meaning, key.unit) for key in inner)


HEAD = keys("""
document | string |  | Kind of the document.
version | number |  | Version of its format; it rises when a key changes its meaning.
software | string |  | Name and version of what wrote it.
""")

CALLOUT = keys("""
text | string |  | The callout as it was typed.
unit | string |  | Unit of the print: mm or in.
unit_reason | string |  | How the unit was known; empty where the text names it.
nominal_mm | number | mm | Nominal diameter.
lower_mm | number | mm | Lower limit of size.
upper_mm | number | mm | Upper limit of size.
fit | string |  | Tolerance class such as H7, or empty.
kind | string |  | through or blind.
depth_mm | number or null | mm | Depth over which the limits hold.
floor_mm | number or null | mm | Greatest depth that a tool point may reach.
standard | string |  | Standard in the title block, or "not stated".
envelope | boolean |  | Whether size includes perfect form.
ra_um | number or null | µm | Greatest Ra.
notes[] | string |  | What was understood beyond the plain text.
""")

JOB_HEAD = (
    *HEAD,
    *keys("""
job | string |  | Name of the job.
part | string |  | Part number.
invented | boolean |  | Whether it is an invented example.
callout | object |  | What was understood of the callout.
"""),
    *under("callout", CALLOUT),
)

REASON = keys("""
code | string |  | Short name for a machine.
value | number or null | see unit | Value found.
limit | number or null | see unit | Limit it was held against.
unit | string |  | Unit of both.
text | string |  | The sentence for a person.
""")


def reasons(path: str, meaning: str) -> tuple[Key, ...]:
    """Return the keys of a list of reasons."""
    return (Key(f"{path}[]", "object", meaning), *under(f"{path}[]", REASON))


FORECAST = keys("""
mean_mm | number | mm | Mean size at 20 °C.
sd_mm | number | mm | Standard uncertainty of one hole's size.
sd_between_holes_mm | number | mm | The part of it that differs from hole to hole.
interval_95_mm | array | mm | Lower and upper end of the central 95 %.
below | number | share | Share of holes below the lower limit.
above | number | share | Share of holes above the upper limit.
inside | number | share | Share of holes inside.
sources[] | object |  | What the size is made of, the largest spread first.
sources[].name | string |  | Name of the cause.
sources[].mean_mm | number | mm | What it adds on the mean.
sources[].sd_mm | number | mm | How surely.
sources[].varies_mm | number | mm | The part of that which differs from hole to hole.
sources[].tag | string |  | The weakest tag among its inputs.
sources[].source | string |  | Where formula and numbers come from.
sources[].text | string |  | The sentence that explains it.
""")

BESIDE_FORECAST = keys("""
hypotheses[] | object |  | Two ways to expect hole less reamer; empty without a reamer.
hypotheses[].name | string |  | causes, or standard (what ISO 522 takes for granted).
hypotheses[].offset_mm | number | mm | Mean of hole less reamer.
hypotheses[].sd_mm | number | mm | Its standard uncertainty for one hole.
hypotheses[].low_mm | number | mm | Least to expect.
hypotheses[].high_mm | number | mm | Greatest to expect.
hypotheses[].inside | number | share | Share inside that follows.
hypotheses[].source | string |  | What it rests on.
sensitivities[] | object |  | What knowing one cause would do, the most telling first.
sensitivities[].name | string |  | The cause.
sensitivities[].share_of_variance | number | share | Its share of the variance of the size.
sensitivities[].sd_without_mm | number | mm | Spread of the size if it alone were known.
sensitivities[].outside_without | number | share | Share outside then, at the same mean.
sensitivities[].text | string |  | The sentence for a person.
""")
