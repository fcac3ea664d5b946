"""A job as a form says it: named fields to the text of a job file, and back."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass

from holewright.errors import InputError
from holewright.jobs.job import Job
from holewright.jobs.jobfile import read_job_text
from holewright.jobs.toml_lines import parse_toml
from holewright.shop.shop import Shop

TABLE_OF = {
    "name": "job",
    "part": "job",
    "revision": "job",
    "drawing": "job",
    "parts": "job",
    "yearly": "job",
    "units": "job",
    "program_units": "job",
    "invented": "job",
    "notes": "job",
    "callout": "hole",
    "standard": "hole",
    "finish": "hole",
    "position": "hole",
    "cylindricity": "hole",
    "wall": "hole",
    "floor": "hole",
    "cross_bores": "hole",
    "entry": "hole",
    "after": "hole",
    "material": "material",
    "hardness": "material",
    "holes": "pattern",
    "origin": "pattern",
    "start_deg": "pattern",
    "machine": "shop",
    "coolant": "shop",
    "part_temperature": "shop",
    "lead_time_days": "shop",
    "inside": "demands",
    "confidence": "demands",
    "ppk": "demands",
}
"""Field of the form -> table of the job file that it belongs to."""

LONGEST = 500
"""No field of a form is longer. [-]"""

SOURCE = "form"
"""What errors call the place that the fields came from."""

_NEEDED = {"callout": '"8 H7 x 22 through", as on the print', "material": '"16MnCr5" or "6061-T6"'}
"""Fields that must be filled in, each with an example. All else has a stated default."""

_KEY = {"material": "name"}
"""Fields whose key in the job file has another name."""

_NUMBER = r"[+-]?\d*[.,]?\d+"
_POINT = re.compile(rf"\s*({_NUMBER})\s*[,\s]\s*({_NUMBER})\s*")
_HOLES = (
    ("bolt_circle", re.compile(r"\d+\s*on\b.*", re.IGNORECASE)),
    ("grid", re.compile(r"\d+\s*[x×*]\s*\d+\s*(?:,\s|;|@|at\b).*", re.IGNORECASE)),
    ("rectangle", re.compile(rf"\s*{_NUMBER}\s*[x×*]\s*{_NUMBER}.*", re.IGNORECASE)),
)
HOLES_ACCEPTED = (
    'must be "60 x 44" (a rectangle), "4 x 3, 20 x 15" (a grid), "6 on 50" (a bolt circle), '
    'or the centres: "0 0; 60 0"'
)


@dataclass(frozen=True)
class FormJob:
    """A job with the job file that says it.

    Parameters
    ----------
    job : Job
        The job.
    text : str
        Its job file.
    """

    job: Job
    text: str


def read_form(said: Mapping[str, str], shop: Shop) -> FormJob:
    """Return the job that the fields of a form describe.

    Parameters
    ----------
    said : mapping
        Field -> what was written; blank ones count as not given. ``holes`` is a rectangle, a
        grid, a bolt circle or a list of centres, told apart by how it is written.
    shop : Shop
        The tool room.

    Raises
    ------
    InputError
        If a field can't be used; its `field` is the name of the field in the form.
    """
    for field, example in _NEEDED.items():
        if not said.get(field, "").strip():
            raise InputError(field, "not given", f"must be filled in, such as {example}")
    text = job_text(said)
    try:
        return FormJob(read_job_text(text, SOURCE, shop, name=_usual_name(said)), text)
    except InputError as error:
        error.where = None
        error.field = _form_field(error.field)
        error.value = said.get(error.field, error.value)
        raise


_STAND_IN = {"callout": "8 H7 x 16 blind", "material": "1018"}
"""What stands in for a field that must be filled in, while the others are looked at."""

_BY_CALLOUT = ("hole", "pattern")
"""Tables whose fields can't be looked at without the callout."""


def all_wrong(said: Mapping[str, str], shop: Shop) -> tuple[InputError, ...]:
    """Return everything that is wrong with the fields of a form, one error a field.

    Parameters
    ----------
    said : mapping
        As in :func:`read_form`.
    shop : Shop
        The tool room.
    """
    found: dict[str, InputError] = {}
    rest = dict(said)
    while True:
        try:
            read_form(rest, shop)
        except InputError as error:
            if error.field in found or error.field not in TABLE_OF:
                break
            found[error.field] = error
            rest[error.field] = _STAND_IN.get(error.field, "")
            if error.field == "callout":
                rest |= {key: "" for key in rest if TABLE_OF.get(key) in _BY_CALLOUT}
                rest["callout"] = _STAND_IN["callout"]
        else:
            break
    return tuple(found.values())


def job_text(said: Mapping[str, str]) -> str:
    r"""Return the text of the job file that says what the fields say.

    Parameters
    ----------
    said : mapping
        As in :func:`read_form`.

    Raises
    ------
    InputError
        If a field isn't known, or is too long.

    Examples
    --------
    >>> job_text({"callout": "8 H7", "material": "1018"})
    '[hole]\ncallout = "8 H7"\n\n[material]\nname = "1018"\n'
    """
    tables: dict[str, list[str]] = {}
    for field, written in said.items():
        value = written.strip()
        if field not in TABLE_OF:
            raise InputError("field", field, "is not known in the form of a job")
        if len(value) > LONGEST:
            raise InputError(field, value[:40] + " …", f"must have up to {LONGEST} characters")
        if value:
            lines = tables.setdefault(TABLE_OF[field], [])
            lines += [f"{key} = {toml}" for key, toml in _toml(field, value).items()]
    order = dict.fromkeys(TABLE_OF.values())
    return "\n".join(
        f"[{name}]\n" + "\n".join(tables[name]) + "\n" for name in order if name in tables
    )


def _toml(field: str, value: str) -> dict[str, str]:
    """Return the keys that a field stands for, each with its value as TOML."""
    if field == "holes":
        return _pattern(value)
    if field in ("yearly", "invented"):
        return {field: "true" if value.lower() in ("yes", "true", "on", "1") else "false"}
    if field == "origin":
        return {field: _points(field, value)[0]}
    if field == "cross_bores":
        return {field: f"[{', '.join(_quoted(part) for part in value.split(';') if part.strip())}]"}
    if field == "notes":
        return {field: f"[{', '.join(_quoted(line) for line in value.splitlines())}]"}
    return {_KEY.get(field, field): _quoted(value)}


def _quoted(value: str) -> str:
    # JSON's escapes are TOML's, but for DEL, which TOML wants escaped as well.
    return json.dumps(value.strip(), ensure_ascii=False).replace("\x7f", "\\u007f")


def _pattern(value: str) -> dict[str, str]:
    for key, form in _HOLES:
        if form.fullmatch(value):
            return {key: _quoted(value)}
    return {"at": f"[{', '.join(_points('holes', value))}]"}


def _points(field: str, value: str) -> list[str]:
    found = []
    for part in value.strip("; ").split(";"):
        match = _POINT.fullmatch(part)
        if match is None:
            accepted = HOLES_ACCEPTED if field == "holes" else 'must be two lengths, such as "5 8"'
            raise InputError(field, value, accepted)
        found.append(f"[{_quoted(match[1])}, {_quoted(match[2])}]")
    return found


def _form_field(field: str) -> str:
    """Return the field of the form that an error is about."""
    if field in ("pattern", "at", "rectangle", "grid", "bolt_circle"):
        return "holes"
    return {"name": "material"}.get(field, field)


def _usual_name(said: Mapping[str, str]) -> str:
    """Return a name for a job that was given none."""
    part, callout = (" ".join(said.get(key, "").split()) for key in ("part", "callout"))
    material = " ".join(said.get("material", "").split())
    return f"{part}, {callout}" if part else f"{callout} in {material}"


def said_in(text: str) -> dict[str, str]:
    """Return the fields of a form that say what the text of a job file says.

    Parameters
    ----------
    text : str
        The text of a job file, as it was read before.
    """
    data = parse_toml(text, "job file").data
    said = {}
    for field, table in TABLE_OF.items():
        values = data.get(table, {})
        value = _hole_pattern(values) if field == "holes" else values.get(_KEY.get(field, field))
        if value is not None:
            said[field] = _written(field, value)
    return said


def _hole_pattern(values: Mapping[str, object]) -> object:
    return next(
        (values[key] for key in ("rectangle", "grid", "bolt_circle", "at") if key in values), None
    )


def _written(field: str, value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else ""
    if isinstance(value, list):
        joint = "\n" if field == "notes" else "; "
        return joint.join(_item(item) for item in value)
    return str(value)


def _item(item: object) -> str:
    if isinstance(item, list):
        return " ".join(str(part) for part in item)
    if isinstance(item, dict):
        return f"{item.get('diameter')} at {item.get('depth')}"
    return str(item)
