"""Results as lines of text for a terminal or a file; every number through report.numbers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from spectui.core.compare import Comparison, Row
from spectui.core.metric import Metric
from spectui.core.photons import BANDS
from spectui.core.quality import trust
from spectui.core.results import Result, Value
from spectui.core.scan import DOUBT, FAULT, UNSAID, Flag, Scan
from spectui.files.safe import safe
from spectui.files.width import cell_width
from spectui.report.numbers import NONE, difference, number, percent, spread, unit

UV_CAUTION = (
    "Bright and ultraviolet light can injure eyes and skin; shield and limit exposure. "
    "These numbers are an indicator, not an IEC 62471 assessment: that is for a qualified person."
)
# From here on sunlight-like brightness: the caution stands beside such scans even without ultraviolet.
VERY_BRIGHT_UMOL = 1000.0
_POINTERS = ("e_actinic", "e_blue_hazard", "uvb_share", "pfd_uv", "pfd_uv_a", "pfd_uv_b", "pfd_uv_c")


def one(result: Result, known: Mapping[str, Metric], chart: Sequence[str] = ()) -> str:
    """Return the whole answer for one scan: what it is, how far to trust it, the picture, the numbers."""
    lines = [*head(result.scan, result.flags), ""]
    if chart:
        lines += [*chart, ""]
    lines += metric_lines(result.values, known)
    lines += ["", *flag_lines(result.flags)]
    if needs_caution(result):
        lines += ["", UV_CAUTION]
    return "\n".join(lines).rstrip() + "\n"


def head(scan: Scan, flags: tuple[Flag, ...]) -> list[str]:
    """Return the head of a scan: title, where and when, range and unit, trust."""
    where = [safe(scan.meta.get("place", "")), safe(scan.taken_at or ""), "{:g}-{:g} nm".format(*scan.range_nm)]
    return [safe(scan.title), " · ".join([w for w in where if w] + [unit(scan.unit)]), trust_words(flags)]


def trust_words(flags: tuple[Flag, ...]) -> str:
    """Return the words of trust, safe to show: a flag may quote the file."""
    return safe(trust(flags))


def metric_lines(values: Mapping[str, Value], known: Mapping[str, Metric]) -> list[str]:
    """Return a line a metric: name, number, uncertainty, unit; a dash and the reason where there is none."""
    rows = []
    for key, value in sorted(values.items(), key=_missing):
        name = known[key].name if key in known else key
        if value.value is None:
            rows.append((name, NONE, "", value.unavailable or ""))
        else:
            note = f"  ({value.note})" if value.note else ""
            plus = spread(value.expanded_uncertainty)
            rows.append((name, number(value.value, value.expanded_uncertainty), plus, unit(value.unit) + note))
    wide = max((cell_width(r[0]) for r in rows), default=0)
    points = max((_before_point(r[1]) for r in rows), default=0)
    after = max((len(r[1]) - _before_point(r[1]) for r in rows), default=0)
    lines = []
    for name, text, plus, words in rows:
        shifted = " " * (points - _before_point(text)) + text
        name += " " * (wide - cell_width(name))
        lines.append(f"{name}  {shifted:<{points + after}}{f' {plus}' if plus else ''}  {words}".rstrip())
    return lines


def _missing(item: tuple[str, Value]) -> bool:
    """Sort what is not available to the end; the rest stays in the catalogue's order."""
    return item[1].value is None


def _before_point(text: str) -> int:
    return text.index(".") if "." in text else len(text)


def flag_lines(flags: Iterable[Flag]) -> list[str]:
    """Return a line a fault or doubt, then the unsaid facts in one."""
    flags = list(flags)
    lines = [f"{f.rank}: {safe(f.message)}" for f in flags if f.rank in (FAULT, DOUBT)]
    unsaid = [f.message.split(";")[0].removesuffix(" unsaid") for f in flags if f.rank == UNSAID]
    return lines + ([f"unsaid: {', '.join(unsaid)}"] if unsaid else [])


def needs_caution(result: Result) -> bool:
    """True where ultraviolet or very bright light was measured."""
    values = result.values
    uv, ppfd = values.get("uv_irradiance"), values.get("ppfd")
    flagged = any(f.code == "uv_stray" for f in result.flags)
    seen = uv is not None and uv.value is not None and uv.value > 0.1
    bright = ppfd is not None and ppfd.value is not None and ppfd.value >= VERY_BRIGHT_UMOL
    # A pointer that was asked for by itself never stands without the caution.
    asked = [values[key].value or 0.0 for key in _POINTERS if key in values]
    alone = uv is None and any(value > 0 for value in asked)
    return flagged or seen or bright or alone


def many(results: Sequence[Result], known: Mapping[str, Metric]) -> str:
    """Return a table: a row a scan, a column a metric, trust in words at the end."""
    if not results:
        return ""
    keys = list(results[0].values)
    header = ["", *(known[k].name for k in keys), ""]
    under = ["", *(unit(results[0][k].unit) for k in keys), ""]
    rows = [
        [name, *(number(v.value, v.expanded_uncertainty) for v in r.values.values()), trust_words(r.flags)]
        for name, r in zip(labels(results), results, strict=True)
    ]
    return columns([header, under, *rows], left=(0, len(header) - 1))


def labels(results: Sequence[Result]) -> list[str]:
    """Return a name for each result, as `scan_labels`."""
    return scan_labels([r.scan for r in results])


def scan_labels(scans: Sequence[Scan]) -> list[str]:
    """Return a name for each scan: its title, with what tells it from others of that title (time, else file)."""
    titles = Counter(s.title for s in scans)
    timed = Counter((s.title, s.taken_at) for s in scans)
    names = []
    for s in scans:
        more = "" if titles[s.title] == 1 else s.taken_at if s.taken_at and timed[s.title, s.taken_at] == 1 else s.file
        names.append(safe(f"{s.title}  {more}" if more else s.title))
    return names


def columns(rows: Sequence[Sequence[str]], left: Iterable[int] = (0,)) -> str:
    """Return rows as aligned columns, two spaces between them; `left` names those aligned to the left."""
    left = set(left)
    widths = [max(cell_width(row[k]) for row in rows) for k in range(len(rows[0]))]
    lines = []
    for row in rows:
        blanks = [" " * (w - cell_width(c)) for c, w in zip(row, widths, strict=True)]
        cells = [c + b if k in left else b + c for k, (c, b) in enumerate(zip(row, blanks, strict=True))]
        lines.append("  ".join(cells).rstrip())
    return "\n".join(lines) + "\n"


def comparison(found: Comparison, known: Mapping[str, Metric]) -> str:
    """Return a comparison: scans, conditions that differ or are unsaid, bands, metrics."""
    names = [chr(ord("A") + k) if k < 26 else str(k + 1) for k in range(len(found.results))]
    lines = [f"{n}  {safe(r.scan.title)}   {trust_words(r.flags)}" for n, r in zip(names, found.results, strict=True)]
    if found.scale != "none":
        lines.append(f"scaled: the others have A's {'PPFD' if found.scale == 'ppfd' else 'peak'}")
    lines += ["", "Conditions that differ or are unsaid", *condition_lines(found, names)]
    lines += ["", f"Bands, {unit('umol/m2/s')}"]
    bands = {
        f"{name.replace('_', ' ')} {BANDS[name][0]:g}-{BANDS[name][1]:g}": row for name, row in found.bands.items()
    }
    lines += _table(bands, names)
    lines += ["", "Metrics"]
    lines += _table({known[k].name if k in known else k: row for k, row in found.rows.items()}, names, with_unit=True)
    reasons: dict[str, list[str]] = {}
    for key, row in found.rows.items():
        for reason in dict.fromkeys(r for r in row.unavailable if r):
            reasons.setdefault(reason, []).append(known[key].name if key in known else key)
    lines += (
        ["", *(f"not available: {', '.join(keys)}: {reason}" for reason, keys in reasons.items())] if reasons else []
    )
    return "\n".join(lines).rstrip() + "\n"


def condition_lines(found: Comparison, names: Sequence[str]) -> list[str]:
    """Return the conditions that differ or that some scan does not say, then those that none says, in one line."""
    nowhere = [c.key for c in found.conditions if not any(c.values)]
    rows = [[c.key, *(NONE if v is None else safe(v) for v in c.values)] for c in found.conditions if any(c.values)]
    lines = columns([["", *names], *rows], left=range(len(names) + 1)).splitlines() if rows else []
    return lines + ([f"unsaid in all: {', '.join(nowhere)}"] if nowhere else []) or ["none"]


def _differences(row: Row) -> list[str]:
    first = row.values[0]
    return [difference(d, (first, v)) for d, v in zip(row.difference[1:], row.values[1:], strict=True)]


def _table(rows: dict[str, Row], names: Sequence[str], with_unit: bool = False) -> list[str]:
    header = ["", *names, *(f"{n}−A" for n in names[1:]), *("%" for _ in names[1:])]
    body = [header + ([""] if with_unit else [])]
    for name, row in rows.items():
        share = row.unit == "%"
        cells = [name, *(number(v) for v in row.values), *_differences(row)]
        cells += ["" if share else percent(p) for p in row.percent[1:]]
        body.append(cells + ([unit(row.unit) + (", difference in points" if share else "")] if with_unit else []))
    left = (0, len(body[0]) - 1) if with_unit else (0,)
    return columns(body, left=left).splitlines()
