"""The exported tables under an engine that is not ours, DuckDB: both forms of a real export alike and of the schema's types, the questions of
questions.sql over a large export and over the Parquet that DuckDB writes of it, and each answer - and the program's own figures - counted
again without that engine's help, or by it where the program counted.

Usage: check.py EXPORT_OF_RECORDS LARGE_EXPORT [PARQUET_FOLDER]
"""

import csv
import json
import math
import os
import re
import sys
import time
from collections import defaultdict
from pathlib import Path

import duckdb

here = Path(__file__).resolve().parent
small, large = Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve()
parquet = Path(sys.argv[3] if len(sys.argv) > 3 else f"{large}-parquet").resolve()
TABLES = ["jobs", "entries", "readings", "causes", "parts", "replaced"]
QUESTIONS = dict(re.findall(r"-- name: (\S+)\n(.*?);", (here / "questions.sql").read_text(), re.S))
assert len(QUESTIONS) == 3, QUESTIONS


def schema(folder):
    """Column types by table, from the schema that lies beside the tables."""
    types, table = {}, None
    for line in (folder / "SCHEMA.md").read_text().splitlines():
        if line.startswith("## "):
            table = types.setdefault(line[3:], {})
        found = re.match(r"\| (\w+) \| [a-z ]+ \((\w+)\) \|", line)
        if found:
            table[found[1]] = found[2]
    return types


def views(folder):
    """A connection with the views that the export brings along."""
    os.chdir(folder)
    con = duckdb.connect()
    con.execute((folder / "views-duckdb.sql").read_text())
    return con


def ask(con):
    return {name: con.execute(sql).fetchall() for name, sql in QUESTIONS.items()}


# A real export: types as the schema says, every row in both forms, and alike.
types = schema(small)
assert list(types) == TABLES, types.keys()
con = views(small)
for table in TABLES:
    lines = [json.loads(l) for f in sorted(small.glob(f"jsonl/{table}/*/*/*.jsonl")) for l in f.open()]
    described = {name: kind for name, kind, *_ in con.execute(f"DESCRIBE {table}").fetchall()}
    assert described == {**types[table], "year": "BIGINT", "month": "BIGINT"}, (table, described)
    columns = ", ".join(types[table])
    as_json = con.execute(f"SELECT {columns} FROM {table} ORDER BY ALL").fetchall()
    assert len(as_json) == len(lines) > 0, (table, len(as_json), len(lines))
    stated = ", ".join(f"'{c}': '{t}'" for c, t in types[table].items())
    as_csv = con.execute(
        f"SELECT {columns} FROM read_csv('csv/{table}/*/*/*.csv', header = true, auto_detect = false, nullstr = '', columns = {{{stated}}}) ORDER BY ALL"
    ).fetchall()
    plain = [tuple(v[1:] if isinstance(v, str) and v.startswith("'") else v for v in row) for row in as_csv]
    assert plain == as_json, f"{table}: the two forms differ"

# What a filter asks for, counted by the engine from the dates and registrations of the rows.
asked = json.loads(Path(f"{small}.asked.json").read_text())["figures"]
only = asked["filter"]
marks = ", ".join(repr(marks) for marks in only["aircraft"])
day = f"opened[1:{len(only['from'])}] >= '{only['from']}' AND opened[1:{len(only['to'])}] <= '{only['to']}'"
fits, whole = con.execute(f"SELECT count(*) FILTER (WHERE {day} AND aircraft IN ({marks})), count(*) FROM jobs").fetchone()
assert sum(asked["states"].values()) == fits and only["left_aside"] == whole - fits and 0 < fits < whole, only
con.close()

# Many jobs: the three questions, over CSV and over Parquet.
seconds = {}


def timed(name, work):
    start = time.monotonic()
    result = work()
    seconds[name] = time.monotonic() - start
    return result


con = views(large)
answers = timed("questions over CSV", lambda: ask(con))


# Without rows an engine writes no file, and there is nothing to make a view of.
filled = [table for table in TABLES if con.execute(f"SELECT count(*) FROM {table}").fetchone()[0]]


def write_parquet():
    for table in filled:
        con.execute(f"COPY {table} TO '{parquet}/{table}' (FORMAT parquet, PARTITION_BY (year, month), OVERWRITE)")


parquet.mkdir(parents=True, exist_ok=True)
timed("Parquet written", write_parquet)
over = duckdb.connect()
for table in filled:
    over.execute(f"CREATE VIEW {table} AS SELECT * FROM read_parquet('{parquet}/{table}/*/*/*.parquet', hive_partitioning = true)")
assert timed("questions over Parquet", lambda: ask(over)) == answers

# The README prints the questions as they are run here.
flat = lambda text: " ".join(text.split())
readme = flat((here / "../../README.md").read_text())
for name, sql in QUESTIONS.items():
    assert flat(sql) in readme, f"{name} is not in README.md as it is in questions.sql"


# The same counted again, by plain Python from the files.
def rows(table):
    for file in sorted(large.glob(f"csv/{table}/*/*/*.csv")):
        with file.open(newline="") as opened:
            yield from csv.DictReader(opened)


work = {j["job"]: j for j in rows("jobs") if j["purpose"] == "work"}
faults, seen = defaultdict(float), defaultdict(int)
for c in rows("causes"):
    if c["job"] in work:
        faults[c["system"], c["cause"]] += float(c["share"])
        seen[c["system"], c["cause"]] += c["found_by"] != ""
told = answers["causes-by-system"]
assert len(told) == min(20, len(faults)) > 0
for system, cause, count, eye in told:
    assert abs(faults[system, cause] - count) <= 0.0501 and seen[system, cause] == eye, (system, cause, count, eye)
assert sorted((-faults[k] for k in faults))[len(told) - 1] <= -told[-1][2] + 0.06, "the commonest are told"

alike = defaultdict(list)
for j in work.values():
    if j["engine_hours"] and j["aircraft"]:
        alike[j["aircraft"], j["complaint"], j["complaint_at"]].append((j["job"], float(j["engine_hours"])))
pairs, back = set(), 0
for jobs in alike.values():
    jobs.sort()
    pairs |= {(a, b) for a, x in jobs for b, y in jobs if a < b and 0 <= y - x <= 50}
    back += sum(0 <= y - x <= 50 for (_, x), (_, y) in zip(jobs, jobs[1:]))
assert {(r[3], r[4]) for r in answers["repeat-complaints"]} == pairs and pairs

made, spent, most, leads = defaultdict(int), defaultdict(float), defaultdict(float), defaultdict(int)
changed, known = defaultdict(int), defaultdict(int)
for r in rows("readings"):
    if r["job"] in work:
        name, moved = r["check_name"], float(r["moved"] or 0)
        known[name] += r["moved"] != ""
        made[name] += 1
        spent[name] += float(r["minutes"])
        most[name] = max(most[name], moved)
        leads[name] += r["leader_changed"] == "true"
        changed[name] += r["leader_changed"] == "true" or moved >= 0.05
idle = {name: made[name] for name in made if known[name] and not leads[name] and most[name] < 0.05}
assert {r[0]: r[1] for r in answers["idle-checks"]} == idle
assert 0 < len(idle) < len(made), "some checks change something, and some do not"

# The program's own figures, counted again by Python above and by DuckDB here.
figures = json.loads(Path(f"{large}.figures.json").read_text())["figures"]
one = lambda sql: con.execute(sql).fetchall()
near = lambda a, b: abs(a - b) <= 1e-6 * max(1, abs(a), abs(b))
assert figures["states"] == dict(one("SELECT state, count(*) FROM jobs WHERE purpose = 'work' GROUP BY state"))
assert figures["left_out"] == one("SELECT count(*) FROM jobs WHERE purpose <> 'work'")[0][0] > 0
months = dict(one("SELECT opened[1:7], count(*) FROM jobs WHERE purpose = 'work' GROUP BY ALL"))
assert {m: n for m, n in figures["months"].items() if n} == months
by_cause = """SELECT c.system, c.part, c.cause, sum(c.share), count(*) FILTER (WHERE c.found_by = 'seen'), count(*) FILTER (WHERE c.found_by = 'measured')
  FROM causes c JOIN jobs j USING (job) WHERE j.purpose = 'work' GROUP BY ALL"""
told = {(c["system"], c["part"], c["cause"]): c for c in figures["causes"]}
counted = one(by_cause)
assert len(counted) == len(told)
for system, part, cause, count, eye, measured in counted:
    figure = told[system, part, cause]
    assert near(figure["faults"], count) and (figure["seen"], figure["measured"]) == (eye, measured) and near(sum(figure["ages"]), count), figure
bands = """SELECT CASE WHEN c.life_spent IS NULL THEN CASE WHEN coalesce(c.age_hours, c.age_years) IS NULL THEN 5 ELSE 6 END ELSE least(floor(c.life_spent * 4), 4) END AS band, sum(c.share)
  FROM causes c JOIN jobs j USING (job) WHERE j.purpose = 'work' GROUP BY ALL"""
for band, count in one(bands):
    assert near(sum(c["ages"][int(band)] for c in figures["causes"]), count), band
assert len(figures["repeats"]["found"]) == back and figures["repeats"]["known"] == sum(map(len, alike.values()))
assert {c["check"]: (c["made"], c["changed"], c["leader_changed"]) for c in figures["checks"]} == {
    name: (made[name], changed[name], leads[name]) for name in made
}
assert all(near(c["minutes"], spent[c["check"]]) and near(c["most_moved"], most[c["check"]]) for c in figures["checks"])
ended = "FROM jobs WHERE purpose = 'work' AND state IN ('cured-proven', 'handed-over') AND planned_minutes > 0 AND minutes IS NOT NULL"
sums = "count(*), sum(minutes), sum(planned_minutes), quantile_cont(minutes / planned_minutes, [0.25, 0.5, 0.75])"
flat_minutes = lambda m: [m["jobs"], m["worked"], m["planned"], m["ratio"]["low"], m["ratio"]["median"], m["ratio"]["high"]]
jobs, worked, planned, ratio = one(f"SELECT {sums} {ended}")[0]
assert all(near(a, b) for a, b in zip(flat_minutes(figures["minutes"]["all"]), [jobs, worked, planned, *ratio]))
told = {m["complaint"]: m for m in figures["minutes"]["complaints"]}
for complaint, jobs, worked, planned, ratio in one(f"SELECT complaint, {sums} {ended} GROUP BY complaint"):
    assert all(near(a, b) for a, b in zip(flat_minutes(told.pop(complaint)), [jobs, worked, planned, *ratio])), complaint
assert not told

told = {m["mechanic"]: m for m in figures["mechanics"]}
for name, jobs, cured in one("SELECT mechanic, count(*), count(*) FILTER (WHERE state = 'cured-proven') FROM jobs WHERE purpose = 'work' GROUP BY ALL"):
    figure = told.pop(name.removeprefix("'"))
    assert (figure["jobs"], figure["cured"]) == (jobs, cured), name
assert not told

# Parts: measured, replaced, and what was known of those that came off.
kinds = {k["part"]: k for k in figures["parts"]["kinds"]}
looks = """SELECT p.part, count(*) FILTER (WHERE p.measured), count(*) FILTER (WHERE NOT p.measured), count(p.found)
  FROM parts p JOIN jobs j USING (job) WHERE j.purpose = 'work' GROUP BY ALL"""
for part, measured, looked_at, found in one(looks):
    kind = kinds[part]
    assert (kind["measured"], kind["looked_at"], kind["found"]) == (measured, looked_at, found), part
WAS = ["measured-bad", "seen-bad", "proven-by-run", "shown-good", "still-showed", "not-known"]
off = f"""SELECT coalesce(r.part, r.title), count(*), {', '.join(f"count(*) FILTER (WHERE r.was = '{was}')" for was in WAS)}
  FROM replaced r JOIN jobs j USING (job) WHERE j.purpose = 'work' GROUP BY ALL"""
came_off = one(off)
assert {row[0] for row in came_off} == {part for part, kind in kinds.items() if kind["replaced"]} and came_off
for part, count, *was in came_off:
    assert (kinds[part]["replaced"], kinds[part]["was"]) == (count, was), part
good = figures["parts"]["good"]
money = """SELECT count(*), sum(r.parts_money), count(*) FILTER (WHERE r.parts_money IS NULL), sum(r.minutes), count(*) FILTER (WHERE r.was = 'still-showed')
  FROM replaced r JOIN jobs j USING (job) WHERE j.purpose = 'work' AND r.was IN ('shown-good', 'still-showed')"""
count, amount, without, minutes, still = one(money)[0]
assert (good["parts"], good["without_price"], good["still_showed"]) == (count, without, still) and count > without > 0
assert list(good["money"]) == ["EUR"] and near(good["money"]["EUR"], amount) and near(good["minutes"], minutes)
by_title = """SELECT r.title, count(*), coalesce(sum(r.parts_money), 0)
  FROM replaced r JOIN jobs j USING (job) WHERE j.purpose = 'work' AND r.was IN ('shown-good', 'still-showed') GROUP BY ALL"""
told = {g["title"]: g for g in figures["parts"]["good_by_correction"]}
for title, count, amount in one(by_title):
    figure = told.pop(title)
    assert figure["parts"] == count and near(figure["money"].get("EUR", 0), amount), title
assert not told

# Minutes by what they went on, of all and by mechanic; together they are the minutes of the jobs.
WENT_ON = ["access", "checking", "correcting", "provoking", "running", "waiting"]
sums = ", ".join(f"coalesce(sum(minutes_{what}), 0)" for what in WENT_ON)
count, whole, *spent_on = one(f"SELECT count(minutes_access), sum(minutes), {sums} FROM jobs WHERE purpose = 'work'")[0]
assert figures["spent"]["jobs"] == count and all(near(figures["spent"][w], m) for w, m in zip(WENT_ON, spent_on))
assert near(sum(spent_on), whole) and figures["spent"]["access"] > 0
people = {m["mechanic"]: m["spent"] for m in figures["mechanics"]}
for name, *spent_on in one(f"SELECT mechanic, {sums} FROM jobs WHERE purpose = 'work' GROUP BY mechanic"):
    assert all(near(people[name.removeprefix("'")][w], m) for w, m in zip(WENT_ON, spent_on)), name


# Intervals. A share's ends are the shares from which what was seen is 1.96 standard errors off (Wilson 1927): roots of a quadratic.
def holds(share, part, of):
    if not of:
        return share is None
    z2, seen = 1.959963984540054**2, part / of
    a, b, c = 1 + z2 / of, -(2 * seen + z2 / of), seen * seen
    root = max(b * b - 4 * a * c, 0) ** 0.5
    return near(share["mean"], seen) and all(abs(x - y) < 1e-9 for x, y in [(share["low"], (-b - root) / (2 * a)), (share["high"], (-b + root) / (2 * a))])


for state, count in figures["states"].items():
    assert holds(figures["state_shares"][state], count, sum(figures["states"].values())), state
assert holds(figures["repeats"]["share"], len(figures["repeats"]["found"]), figures["repeats"]["known"])
assert holds(figures["parts"]["good_share"], good["parts"], figures["parts"]["replaced"])
for part, kind in kinds.items():
    assert holds(kind["proven_bad"], sum(kind["was"][:3]), kind["replaced"]), part
for check in figures["checks"]:
    assert holds(check["changed_share"], check["changed"], check["made"] - check["not_known"]), check["check"]


# A median lies between two of the values in order, of which at most a fortieth of all draws would miss it on either side.
def ranks(values):
    low = 0
    while low < values // 2 and sum(math.comb(values, k) for k in range(low + 1)) * 40 <= 2**values:
        low += 1
    return (low, values + 1 - low) if low else None


ordered = f"SELECT list_sort(list(minutes / planned_minutes)) {ended} AND complaint = ?"
for told in figures["minutes"]["complaints"]:
    values = con.execute(ordered, [told["complaint"]]).fetchone()[0]
    # Whole numbers of that many digits take long; the sums of the binomial are held for fewer.
    if len(values) <= 3000:
        between = ranks(len(values))
        assert told["ratio"]["median_range"] == (between and [values[between[0] - 1], values[between[1] - 1]]), told

total = one("SELECT count(*) FROM jobs")[0][0]
print(f"DuckDB {duckdb.__version__}: {total} jobs, {sum(made.values())} readings of work; three questions and the figures answered as counted again.")
print("  " + "; ".join(f"{name} {took:.1f} s" for name, took in seconds.items()))
