"""Finds a work material by any of its names, with the hardness that it has in this job."""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import replace
from functools import cache

from holewright.errors import InputError
from holewright.reference.tables import Row, table
from holewright.shop.hardness import (
    Hardness,
    brinell,
    brinell_from,
    read_hardness,
    split_hardness,
)
from holewright.shop.material import ChipClass, KcSystem, Material
from holewright.uncertainty import Known, Tag

_COLUMNS = (
    "name",
    "aliases",
    "iso513",
    "family",
    "hb",
    "hb_source",
    "hb_lo",
    "hb_hi",
    "chips",
    "kc_system",
    "kc11",
    "mc",
    "confidence",
    "kc_of",
    "alpha_1e6",
    "e_gpa",
    "alpha_source",
    "hb_note",
    "note",
)
# Standard uncertainty of k_c1.1 as a share, judged from how far the tables differ: rows
# confirmed by two printed tables lie within 3 %, but three methods of drilling torque still
# differ by 25 %; weak rows differ by 25 % and more between tables.
_KC_U = {"good": 0.08, "fair": 0.12, "weak": 0.20}
_MC_U = {"good": 0.02, "fair": 0.03, "weak": 0.05}
_ALPHA_U = {"callister-b6": 0.03, "from-memory": 0.05, "own-judgement": 0.06}
_E_U = 0.05
# How k_c1.1 goes with hardness, from the two rows of one steel, 56NiCrMoV7 annealed and
# tempered: 1740 at 268 HB, 1920 at 352 HB. Used only to widen, never to correct.
_KC_PER_LOG_HB = math.log(1920 / 1740) / math.log(352 / 268)

_STEELS = frozenset(
    {
        "free-machining-steel",
        "plain-carbon-steel",
        "alloy-steel",
        "tool-steel",
        "cast-steel",
        "martensitic-stainless",
        "ph-stainless",
        "hardened-steel",
    }
)
HARD_FROM_HRC = 45.0
"""From here on a steel counts to group H of ISO 513 (common practice). [HRC]"""
_HARD_ROWS = ("hardened steel 50-55 HRC", "hardened steel 58-62 HRC")

_FILLERS = {
    *("aisi", "sae", "astm", "uns", "din", "en", "aw", "ac", "werkstoff", "wnr"),
    *("steel", "stainless", "ss", "aluminium", "alu", "al", "alloy", "type", "iron"),
    *("at", "bar", "plate", "round", "sheet"),
}
_SPELLINGS = {"gray": "grey", "aluminum": "aluminium"}
# Words that may stand beside a designation if it belongs to one of these families.
_TRADE_WORDS: dict[str, tuple[str, ...]] = {
    "brass": ("brass",),
    "bronze": ("bronze",),
    "copper": ("copper",),
    "titanium": ("titanium",),
    "nickel": ("nickel-alloy",),
    "magnesium": ("magnesium",),
    "grey": ("grey-iron",),
    "ductile": ("ductile-iron",),
    "nodular": ("ductile-iron",),
    "malleable": ("malleable-iron",),
    "duplex": ("duplex-stainless",),
    "tool": ("tool-steel",),
    "cast": ("grey-iron", "ductile-iron", "malleable-iron", "cast-aluminium", "cast-steel"),
}
_WORD = re.compile(r"(?:ss|al|aisi|sae|en)(?=\d)|[^\W_]+")
_TEMPER = re.compile(r"t[678]\d*")
_ALUMINIUM = ("wrought-aluminium", "cast-aluminium")


def _words(name: str) -> list[str]:
    return [_SPELLINGS.get(word, word) for word in _WORD.findall(name.lower())]


def _key(name: str) -> str:
    """Return a name without case, spaces and hyphens."""
    return "".join(_words(name))


def _loose_key(name: str) -> str:
    """Return it without words that add nothing; empty where no number is left to go by."""
    key = "".join(word for word in _words(name) if word not in _FILLERS)
    return key if any(map(str.isdigit, key)) else ""


def _names(row: Row) -> tuple[str, ...]:
    aliases = tuple(a.strip() for a in row["aliases"].split(";") if a.strip())
    return (row["name"], *aliases)


@cache
def _by_key() -> tuple[dict[str, Row], dict[str, Row]]:
    """Return the rows by exact and by loose key; no two rows share one, by test."""
    exact: dict[str, Row] = {}
    loose: dict[str, Row] = {}
    for row in table("materials", _COLUMNS):
        for name in _names(row):
            exact[_key(name)] = row
            loose[_loose_key(name)] = row
    loose.pop("", None)
    return exact, loose


@cache
def list_materials() -> tuple[Material, ...]:
    """Return all work materials, in the order P, M, K, N, S, H of the table."""
    return tuple(_material(row) for row in table("materials", _COLUMNS))


def _row(name: str) -> Row:
    return next(row for row in table("materials", _COLUMNS) if row["name"] == name)


def _kc(row: Row) -> tuple[Known, Known]:
    lender = _row(row["kc_of"]) if row["kc_of"] else row
    confidence = row["confidence"]
    source = f"{row['source']}: that of {lender['name']}" if lender is not row else row["source"]
    kc11, mc = float(lender["kc11"]), float(lender["mc"])
    return (
        Known(kc11, Tag.DEFAULT, source, _KC_U[confidence] * kc11),
        Known(mc, Tag.DEFAULT, source, _MC_U[confidence]),
    )


@cache
def _edge_windows() -> dict[str, tuple[float, float] | None]:
    """Return, by family, the speeds between which a built-up edge grows. [m/min]"""
    return {
        row["family"]: (float(row["lo"]), float(row["hi"])) if row["hi"] else None
        for row in table("edge_windows", ("family", "lo", "hi", "note"))
    }


def _material(row: Row) -> Material:
    kc11, mc = _kc(row)
    hb, alpha, e = float(row["hb"]), float(row["alpha_1e6"]) * 1e-6, float(row["e_gpa"]) * 1e3
    alpha_source = row["alpha_source"]
    softest, hardest = float(row["hb_lo"]), float(row["hb_hi"])
    # Of a hardness nobody stated: anywhere in what the designation is delivered with.
    u_hb = (hardest - softest) / math.sqrt(12)
    name, *aliases = _names(row)
    return Material(
        name=name,
        aliases=tuple(aliases),
        iso513=row["iso513"],
        kc11=kc11,
        mc=mc,
        hardness_hb=Known(hb, Tag.ASSUMED, row["hb_source"], u_hb),
        alpha=Known(alpha, Tag.DEFAULT, alpha_source, _ALPHA_U[alpha_source] * alpha),
        e_modulus=Known(e, Tag.DEFAULT, alpha_source, _E_U * e),
        family=row["family"],
        hb_range=(softest, hardest),
        chips=ChipClass(row["chips"]),
        edge_window=_edge_windows()[row["family"]],
        kc_system=KcSystem(row["kc_system"]),
        notes=(row["note"],) if row["note"] else (),
    )


def _as_supplied(material: Material, row: Row) -> Material:
    """Return it with what was assumed of its hardness, since nobody stated one."""
    return (
        replace(material, notes=(row["hb_note"], *material.notes)) if row["hb_note"] else material
    )


def _lookup(name: str) -> Row | None:
    exact, loose = _by_key()
    row = exact.get(_key(name)) or loose.get(_loose_key(name))
    return row if row is not None else _lookup_beside_trade_words(name)


def _lookup_beside_trade_words(name: str) -> Row | None:
    """Return the row of ``C360 brass`` or ``6061-T6511``, if word and row agree."""
    rest: list[str] = []
    allowed: list[tuple[str, ...]] = []
    for word in _words(name):
        if word in _TRADE_WORDS:
            allowed.append(_TRADE_WORDS[word])
        elif _TEMPER.fullmatch(word):
            allowed.append(_ALUMINIUM)
        else:
            rest.append(word)
    row = _by_key()[1].get(_loose_key(" ".join(rest)))
    if row is None or any(row["family"] not in families for families in allowed):
        return None
    return row


def _suggestions(name: str) -> str:
    """Return the known names nearest to one that isn't known, for an error."""
    exact, _ = _by_key()
    near = difflib.get_close_matches(_key(name), list(exact), n=5, cutoff=0.6)
    near += [key for key in exact if len(_key(name)) > 2 and _key(name) in key and key not in near]
    found: dict[str, str] = {}
    for key in near:
        row = exact[key]
        alias = next(n for n in _names(row) if _key(n) == key)
        known = row["name"] if alias == row["name"] else f"{row['name']} ({alias})"
        found.setdefault(row["name"], known)
    if found:
        return "nearest are " + ", ".join(list(found.values())[:4])
    return "for example 42CrMo4 (4140), X5CrNi18-10 (304), EN-GJL-250, EN AW-6061, Ti-6Al-4V"


def find_material(name: str, hardness: str | None = None) -> Material:
    """Return a work material by any of its names, with the hardness of this job.

    Parameters
    ----------
    name : str
        Designation, number or trade word: ``16MnCr5``, ``1.7131``, ``4140 PH``,
        ``6061-T6``, ``class 30``. Case, spaces and hyphens don't matter. A hardness behind
        the name is understood: ``4140 PH 28-32 HRC``.
    hardness : str, optional
        From the certificate or the drawing: ``30 HRC``, ``28-32 HRC``, ``170 HB``,
        ``600 MPa``. Without it the usual hardness of the material is assumed.

    Returns
    -------
    Material
        The material; its `notes` say what was understood.

    Raises
    ------
    InputError
        If the material isn't known (with the nearest ones), the hardness can't be read, or
        its scale doesn't hold for this material.

    Notes
    -----
    k_c1.1 is not corrected for hardness; its uncertainty grows with the distance from the
    hardness of the row. From 45 HRC a steel counts to group H of ISO 513, and k_c1.1 is
    drawn between the hardened rows of the table.

    Examples
    --------
    >>> find_material("4140 ph", "28-32 HRC").hardness_hb.value
    286.0
    """
    row = _lookup(name)
    if row is None:
        rest, written = split_hardness(name)
        row = _lookup(rest) if written else None
        if row is None:
            raise InputError(
                "material", name, f"must be a known work material; {_suggestions(rest)}"
            )
        if hardness is not None:
            raise InputError(
                "hardness",
                hardness,
                f"must be given once; the name of the material already says {written}",
            )
        hardness = written
    material = _material(row)
    if hardness is None:
        return _as_supplied(material, row)
    return _with_hardness(material, hardness)


def _with_hardness(material: Material, text: str) -> Material:
    stated = read_hardness(text)
    _check_scale(material, stated, text)
    hb = brinell(stated, "job file")
    if material.family in _STEELS and hb.value >= float(brinell_from("HRC", HARD_FROM_HRC)):
        return _hardened(material, hb, text)
    apart = _KC_PER_LOG_HB * abs(math.log(hb.value / material.hardness_hb.value))
    u = math.hypot(material.kc11.u, apart * material.kc11.value)
    return replace(
        material,
        hardness_hb=hb,
        kc11=replace(material.kc11, u=u),
        notes=(*material.notes, *_beside_usual(material, hb.value, text)),
    )


def _beside_usual(material: Material, hb: float, text: str) -> tuple[str, ...]:
    """Return a note where a stated hardness is not one that the designation usually has."""
    low, high = material.hb_range
    if low <= hb <= high:
        return ()
    how = "harder" if hb > high else "softer"
    return (
        f"{text.strip()} is {how} than {material.name} usually is, {low:.0f} to {high:.0f} HB: "
        "its treatment differs, or it is another material",
    )


def _check_scale(material: Material, stated: Hardness, text: str) -> None:
    if stated.scale == "HB" or material.family in _STEELS:
        return
    raise InputError(
        "hardness",
        text,
        f"must be in HB for {material.name}: the conversion of {stated.scale} is for carbon, "
        f"alloy and tool steels and does not hold for {material.family.replace('-', ' ')}",
    )


def _hardened(material: Material, hb: Known, text: str) -> Material:
    """Return a steel of group H, with k_c1.1 on a power law through the hardened rows."""
    soft, hard = (_row(name) for name in _HARD_ROWS)
    kc_soft, kc_hard = float(soft["kc11"]), float(hard["kc11"])
    hb_soft, hb_hard = float(soft["hb"]), float(hard["hb"])
    exponent = math.log(kc_hard / kc_soft) / math.log(hb_hard / hb_soft)
    kc = kc_soft * (hb.value / hb_soft) ** exponent
    source = f"{soft['source']}: drawn through the rows of hardened steel"
    note = (
        f"{text.strip()} puts {material.name} into group H of ISO 513 (from "
        f"{HARD_FROM_HRC:.0f} HRC, common practice); its k_c1.1 is drawn between the rows of "
        "hardened steel"
    )
    return replace(
        material,
        iso513="H",
        edge_window=_edge_windows()["hardened-steel"],
        hardness_hb=hb,
        kc11=Known(kc, Tag.COMPUTED, source, _KC_U["weak"] * kc),
        mc=Known(float(soft["mc"]), Tag.DEFAULT, soft["source"], _MC_U["weak"]),
        notes=(note,) if material.iso513 == "H" else (*material.notes, note),
    )
