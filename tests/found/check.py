"""Counts again, from the entries of random jobs, what was found, put right unseen and shown good, and what is known of parts that came off. Usage: found_jobs | check.py"""

import json
import sys
from collections import Counter

NAMES, SHOWS_GOOD = 0.3, 0.8
# How often a fault with a level for its trigger is awake at it, and elsewhere (trees/FORMAT.md).
HOLDS, HOLDS_NOT = 0.9, 0.03
engines, counts = {}, Counter()


def standing(entries):
    kept = {}
    for e in entries:
        if e["kind"] == "undo":
            del kept[e["body"]["of"]]
        elif e["kind"] == "amend":
            kept[e["body"]["of"]] = e["body"]["by"]
        else:
            kept[e["n"]] = e
    return sorted(kept.items())


def named(engine, check, outcome):
    """The causes that an outcome finds; none where it only says in which place to look."""
    causes = [c for c, chance in outcome["causes"] if chance >= NAMES]
    if check["swap"]:
        return None
    if outcome["proves"]:
        return causes
    own = causes and all(engine["causes"][c]["at"] == check["at"] for c in causes)
    return causes if check["at_the_part"] and not outcome["gates"] and (check["reads"] or own) else None


def awake(trigger, levels, minutes):
    if "condition" in trigger:
        return HOLDS if levels[trigger["condition"]] in trigger["levels"] else HOLDS_NOT
    if "each_minute" in trigger:
        return 1 - (1 - trigger["each_minute"]) ** minutes
    return trigger.get("at_times", 1.0)


def shows(engine, check, cause, levels):
    missed = 1.0
    for outcome in check["outcomes"]:
        for c, chance in outcome["causes"]:
            missed *= 1 - chance if c == cause else 1
    if check["present"]:
        return 1 - missed
    return (1 - missed) * sum(t["weight"] * awake(t, levels, check["minutes"]) for t in engine["causes"][cause]["triggers"])


def recount(job, engine):
    checks = {(c["name"], c["at"]): c for c in engine["checks"]}
    causes = {(c["name"], c["at"]): i for i, c in enumerate(engine["causes"])}
    mends = {(c["name"], c["at"]): c for c in engine["corrections"]}
    answers = {a["n"]: a for a in job["answers"]}
    found, normal, done = [], [], []
    for n, e in standing(job["entries"]):
        body = e["body"] if "body" in e else None
        if e["kind"] == "confirmed":
            found.append((n, "seen", [causes[body["cause"], body["at"]]]))
        elif e["kind"] == "corrected":
            done.append((n, mends[body["correction"], body["at"]]))
        elif e["kind"] == "answer" and n in answers:
            check, judged = checks[body["check"], body["at"]], answers[n]["judged"]
            possible = [body["outcome"]] if body.get("outcome") else [o for o in judged or [] if o == "normal" or o in [x["name"] for x in check["outcomes"]]]
            if len(set(possible)) != 1:
                continue
            if possible[0] == "normal":
                normal.append((n, check, answers[n]["spell"]))
                continue
            outcome = next(o for o in check["outcomes"] if o["name"] == possible[0])
            if not body.get("looks-so") and (what := named(engine, check, outcome)) is not None:
                found.append((n, "measured" if possible[0] in (judged or []) else "seen", what))
    ours = [(n, m) for n, m in done if not m["hands_over"]]
    unseen = []
    for n, mend in ours:
        since = lambda f, c: not any(f < m < n and c in other["cures"] for m, other in ours)
        if not any(f < n and any(c in mend["cures"] and since(f, c) for c in what) for f, _, what in found):
            unseen.append(n)
    good = {}
    for cause in job["faint"] if job["left_out"] <= 0.02 else []:
        if cause == engine["unknown"] or any(cause in what for _, _, what in found):
            continue
        first = min([n for n, m in done if cause in m["cures"]], default=float("inf"))
        brought = max([at for at, c in job["upset"] if c == cause], default=-1)
        looks = [n for n, check, spell in normal if not check["swap"] and n < first and spell >= brought
                 and shows(engine, check, cause, job["spells"][spell]) >= SHOWS_GOOD - 1e-12]
        if looks:
            good[cause] = looks
    return found, unseen, good


def endings(job, engine):
    """What the entries bear out for each end, by the words of the rule; a run with levels of its own is not the one of the report.
    Which runs are to be made, as reported and where it showed under more, is taken from the program."""
    mends = {(c["name"], c["at"]): c for c in engine["corrections"]}
    checks = {(c["name"], c["at"]): c for c in engine["checks"]}
    answers = {a["n"]: a for a in job["answers"]}
    ours = last = 0
    runs, passed = [], []
    there = False
    for n, e in standing(job["entries"]):
        body = e.get("body") or {}
        if e["kind"] == "corrected":
            last, runs, passed = n, [], []
            ours = ours if mends[body["correction"], body["at"]]["hands_over"] else n
        elif e["kind"] == "proof-run":
            under = job["reported"] | body["levels"]
            there |= body["showing"]
            runs.append((body["showing"], under))
            passed = [] if body["showing"] else passed + [under]
        elif e["kind"] == "showing" and body["showing"] is not None:
            there |= body["showing"]
            passed = [] if body["showing"] else passed
        elif e["kind"] == "answer" and n in answers:
            check, judged = checks[body["check"], body["at"]], answers[n]["judged"]
            possible = [body["outcome"]] if body.get("outcome") else [o for o in judged or [] if o == "normal" or o in [x["name"] for x in check["outcomes"]]]
            there |= check["runs"] and not check["present"] and len(set(possible)) == 1 and possible[0] != "normal"
    less = "corrected-not-proven" if ours else "not-found" if there else "not-reproduced"
    out = dict.fromkeys(["corrected-not-proven", "not-reproduced"], less)
    proven = all(under in passed for under in job["runs"])
    made = all(any(showed or run == under for showed, run in runs) for under in job["runs"])
    out["cured-proven"] = "cured-proven" if ours and proven and not job["stands"] else less
    out["not-found"] = "not-found" if ours and (made or not last) else less
    return out | {"handed-over": "handed-over", "stopped": "stopped"}


def came_off(job, engine, found, good):
    """What is known of each part that was replaced, overhauled or exchanged, by the words of the rule."""
    mends = {(c["name"], c["at"]): c for c in engine["corrections"]}
    checks = {(c["name"], c["at"]): c for c in engine["checks"]}
    answers = {a["n"]: a for a in job["answers"]}
    done, shown = [], []
    for n, e in standing(job["entries"]):
        body = e.get("body") or {}
        if e["kind"] == "corrected":
            done.append((n, mends[body["correction"], body["at"]]))
        elif e["kind"] in ("proof-run", "showing") and body["showing"]:
            shown.append(n)
        elif e["kind"] == "answer" and n in answers:
            check, judged = checks[body["check"], body["at"]], answers[n]["judged"]
            possible = [body["outcome"]] if body.get("outcome") else [o for o in judged or [] if o == "normal" or o in [x["name"] for x in check["outcomes"]]]
            if check["runs"] and not check["present"] and len(set(possible)) == 1 and possible[0] != "normal":
                shown.append(n)
    ours = [(n, m) for n, m in done if not m["hands_over"]]
    out = []
    for (n, mend), chance in zip([d for d in done if d[1]["spends"]], job["chance"]):
        cures = set(mend["cures"])
        since = lambda f, c: not any(f < m < n and c in other["cures"] for m, other in ours)
        before = [by for f, by, what in found if f < n and any(c in cures and since(f, c) for c in what)]
        settled = set(job["settled"]) | set(job["put_right"])
        last = max(shown, default=0)
        alone = [m for m, _ in ours if m > last] if job["passed"] else []
        first = lambda c: min(m for m, other in done if c in other["cures"]) == n
        looked = {c: [look for look in good[c] if look < n] for c in cures if c in good and c not in settled and first(c)}
        if before:
            out.append("measured-bad" if "measured" in before else "seen-bad")
        elif alone == [n]:
            out.append("not-known" if any(looked.values()) and chance < 0.1 else "proven-by-run")
        elif cures & settled or any(cures & set(what) for _, _, what in found):
            out.append("not-known")
        elif any(looked.values()) and chance < 0.1:
            out.append("shown-good")
        elif (settled - cures or any(what for _, _, what in found) or len(alone) == 1) and chance < 0.5 and any(m > n for m in shown):
            out.append("still-showed")
        else:
            out.append("not-known")
    return out


for line in sys.stdin:
    job = json.loads(line)
    if "engine" in job:
        engines[job["engine"]] = job
        continue
    found, unseen, good = recount(job, engines[job["job"]])
    said = [(f["entry"], f["by"], f["causes"]) for f in job["found"]]
    assert said == found, (job, found)
    assert job["replaced_unseen"] == unseen, (job, unseen)
    said = {cause: g["entry"] for g in job["shown_good"] for cause in g["causes"]}
    assert said.keys() == good.keys(), (job, good)
    assert all(entry in good[cause] for cause, entry in said.items()), (job, good)
    # What is told of several complaints is theirs apart, and an old record's later word on a spell can stand for an earlier one.
    if not any(e["kind"] == "complained" or e["kind"] == "showing" and e["body"]["showing"] is None for _, e in standing(job["entries"])):
        off = came_off(job, engines[job["job"]], found, good)
        assert [r["was"] for r in job["replaced"]] == off, (job, off)
        counts.update(off)
    # A word taken back changes what was told of a spell, and spells are not counted again here.
    if not any(e["kind"] == "showing" and e["body"]["showing"] is None for _, e in standing(job["entries"])):
        ends = endings(job, engines[job["job"]])
        assert job["borne_out"] == ends, (job, ends)
        counts[ends["cured-proven"]] += 1
    counts.update(jobs=1, seen=sum(by == "seen" for _, by, _ in found), measured=sum(by == "measured" for _, by, _ in found),
                  unseen=len(unseen), good=len(good))
assert counts["jobs"] and min(counts["seen"], counts["measured"], counts["unseen"], counts["good"]) > counts["jobs"] / 100, counts
bests = ["cured-proven", "corrected-not-proven", "not-found", "not-reproduced"]
assert min(counts[end] for end in bests) > counts["jobs"] / 200, counts
WAS = ["measured-bad", "seen-bad", "proven-by-run", "shown-good", "still-showed", "not-known"]
assert min(counts[was] for was in WAS) >= 5, counts
print(f"Parts that came off, counted again: {', '.join(f'{counts[was]} {was}' for was in WAS)}.")
print(f"{counts['jobs']} random jobs counted again: {counts['seen']} findings seen, {counts['measured']} measured, "
      f"{counts['unseen']} corrections whose cause nobody saw, {counts['good']} causes shown good; best ends: {', '.join(f'{counts[e]} {e}' for e in bests)}.")
