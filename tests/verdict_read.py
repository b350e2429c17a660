"""For the tests of the one verdict: what a page or a paper says of a departure, read as a person reads it."""

from __future__ import annotations

import html
import re
from collections.abc import Sequence

from loadcalc.checks import Finding, Judgment
from loadcalc.checks.findings.finding import ASSUMED, NOT_KNOWN, OVER, OVER_ASSUMED
from workbook.panels.desk.findings_words import COUNTED, NOTHING_JUDGED

NOTHING_KG = 1e-9
NO_OVERLOAD = ("exceeded", "within")  # what sounds like a pass
SKIPPED = re.compile(r"<(script|style|svg)\b.*?</\1>", re.DOTALL)


def read(page: str) -> str:
    """The text of an HTML page, a line for each paragraph or list item."""
    return html.unescape(re.sub(r"<[^>]+>", "", re.sub(r"</(p|li|h1|h2)>", "\n", SKIPPED.sub("", page))))


def untold(findings: Sequence[Finding], text: str) -> list[str]:
    """The findings that a text neither names in its list nor counts there."""
    lines = text.splitlines()
    lacking = []
    for said in {finding.said for finding in findings}:
        mine = [finding for finding in findings if finding.said == said]
        begun = said[0].upper() + said[1:]
        where = [line for line in lines if re.match(rf"[▲?] {re.escape(begun)}: ", line)]
        named = sum(any(finding.what in line for line in where) for finding in mine)
        counted = sum(int(more) for line in where for more in re.findall(r"; and (\d+) more\b", line))
        if named + counted < len(mine):
            lacking.append(f"{said}: {len(mine)} found, {named} named, {counted} counted")
        bad = any(finding.is_bad for finding in mine)
        if bad and not any(line.startswith("▲") for line in where):
            lacking.append(f"{said}: without its mark")
    return lacking


def uncounted(findings: Sequence[Finding], text: str) -> list[str]:
    """The kinds of findings whose number a text does not say."""
    many: dict[str, int] = {}
    for finding in findings:
        many[finding.kind] = many.get(finding.kind, 0) + 1
    return [f"{kind}: {count}" for kind, count in many.items() if not _says_how_many(kind, count, text)]


def _says_how_many(kind: str, count: int, text: str) -> bool:
    ratings = "1 rating" if count == 1 else f"{count} ratings"
    over = "One rating is over" if count == 1 else f"{count} ratings are over"
    verb = "is" if count == 1 else "are"
    if kind in (OVER, OVER_ASSUMED):
        return f"{over}{':' if kind == OVER else ', or may be,'}" in text
    if kind == NOT_KNOWN:
        return re.search(rf"\b{ratings} without a known limit {verb} not judged", text) is not None
    if kind == ASSUMED:
        return re.search(rf"\b{ratings} {verb} judged by what is assumed", text) is not None
    return re.search(rf"\b{count} {COUNTED[kind][count > 1]}\b", text) is not None


def some_limit_is_known(judgment: Judgment) -> bool:
    """Whether any rating that carries something has a limit, told from the share matrix itself."""
    shares = judgment.shares
    loads = shares.loads_kg(shares.mass_kg).tolist()
    return any(
        abs(load) > NOTHING_KG and row.limit.limit_kg is not None
        for load, row in zip(loads, shares.rows, strict=True)
    )


def claims_too_much(judgment: Judgment, verdict: str) -> list[str]:
    """What a verdict says that the findings do not bear out."""
    found = judgment.findings
    wrong = uncounted(found, verdict)
    if any(finding.kind in (OVER, OVER_ASSUMED) for finding in found) and "none is exceeded" in verdict:
        wrong.append("none is exceeded, and something is over")
    if (NOTHING_JUDGED in verdict) == some_limit_is_known(judgment):
        wrong.append("something is judged" if NOTHING_JUDGED in verdict else "nothing is judged, and it isn't said")
    if not some_limit_is_known(judgment) and any(word in verdict for word in NO_OVERLOAD):
        wrong.append("sounds like a pass where nothing is judged")
    over = [finding for finding in found if finding.kind == OVER]
    proofs = [re.search(rf"{re.escape(finding.what)} \(([^,)]+)", verdict) for finding in over]
    left = len(over) - sum(proof is not None for proof in proofs)
    if left and not any(int(more) >= left for more in re.findall(r"; and (\d+) more\b", verdict)):
        wrong.append(f"{left} of {len(over)} over are neither named nor counted")
    wrong += [f"{proof[0]}: does not prove it" for proof in proofs if proof is not None and proof[1] == "100%"]
    return wrong
