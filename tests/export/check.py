"""The exported tables under an engine that is not ours: DuckDB reads both forms, its types are the schema's, both give the same answers to the
questions of questions.sql, and the answers are those that plain Python counts from the JSON Lines.

The jobs are those of the folder named, which are marked as demo; each is doubled here, 20 and then 90 engine hours later, as work on the same
aircraft, so that each question has an answer. Usage: check.py EXPORTED_FOLDER
"""

import json
import re
import sys
from collections import defaultdict
from pathlib import Path

import duckdb

here = Path(__file__).parent
folder = Path(sys.argv[1])
TABLES = ["jobs", "entries", "readings", "causes"]


def schema():
    """Column types by table, from the schema that lies beside the tables."""
    types, table = {}, None
    for line in (folder / "SCHEMA.md").read_text().splitlines():
        if line.startswith("## "):
            table = types.setdefault(line[3:], {})
        found = re.match(r"\| (\w+) \| [a-z ]+ \((\w+)\) \|", line)
        if found:
            table[found[1]] = found[2]
    return types


TYPES = schema()
assert list(TYPES) == TABLES, TYPES.keys()
rows = {t: [json.loads(l) for f in sorted(folder.glob(f"jsonl/{t}/*/*/*.jsonl")) for l in f.open()] for t in TABLES}
assert rows["jobs"] and rows["causes"], "no jobs were exported"


def later(row, n, hours):
    row = dict(row, job=f"{row['job']}-{n}")
    if "purpose" in row:
        row["purpose"] = "work"
        row["engine_hours"] += hours
    return row


LATER = [(0, 0), (1, 20), (2, 90)]
doubled = {t: rows[t] + [later(r, n, h) for n, h in LATER for r in rows[t]] for t in TABLES}


def connection(form):
    """The tables as views of the files, followed by the doubled rows."""
    con = duckdb.connect()
    for table in TABLES:
        files = str(folder / form / table / "*" / "*" / f"*.{form}")
        columns = ", ".join(f"'{c}': '{t}'" for c, t in TYPES[table].items())
        if form == "csv":
            source = f"read_csv('{files}', header = true, hive_partitioning = true, columns = {{{columns}}})"
        else:
            source = f"read_json('{files}', format = 'newline_delimited', hive_partitioning = true, columns = {{{columns}}})"
        con.execute(f"CREATE TABLE {table} AS SELECT * FROM {source}")
        names = [d[0] for d in con.execute(f"SELECT * FROM {table}").description]
        assert names[:-2] == [*TYPES[table]] and set(names[-2:]) == {"year", "month"}, (form, table, names)
        read = con.execute(f"SELECT count(*), min(year), max(month) FROM {table}").fetchone()
        assert read[0] == len(rows[table]), (form, table, read)
        # Without being told, the engine finds the same types or text for what is empty throughout.
        guessed = source.split(", columns")[0] + ")"
        for name, kind, *_ in con.execute(f"DESCRIBE SELECT * FROM {guessed}").fetchall():
            wanted = TYPES[table].get(name, "BIGINT")
            full = any(r[name] is not None for r in rows[table]) if name in TYPES[table] else False
            fits = {kind, wanted} in ({wanted}, {"BIGINT", "DOUBLE"}, {"VARCHAR", "TIMESTAMP"}, {"VARCHAR", "TIMESTAMP WITH TIME ZONE"})
            assert not full or fits, (form, table, name, kind, wanted)
        held = ", ".join("?" for _ in TYPES[table])
        more = [[r[c] for c in TYPES[table]] for r in doubled[table][len(rows[table]) :]]
        con.executemany(f"INSERT INTO {table} ({', '.join(TYPES[table])}) VALUES ({held})", more)
    return con


questions = dict(re.findall(r"-- name: (\S+)\n(.*?);", (here / "questions.sql").read_text(), re.S))


def ask(form):
    con = connection(form)
    return {name: con.execute(sql).fetchall() for name, sql in questions.items()}


answers = {form: ask(form) for form in ["csv", "jsonl"]}
assert answers["csv"] == answers["jsonl"], answers

# The README prints the questions as they are run here, and its views of the files are good for them.
flat = lambda text: " ".join(text.split())
readme = (here / "../../README.md").read_text()
views = re.findall(r"^CREATE VIEW .*;$", readme, re.M)
assert len(views) == 3, views
con = duckdb.connect()
for view in views:
    con.execute(view.replace("'DIR/", f"'{folder}/"))
for name, sql in questions.items():
    assert flat(sql) in flat(readme), f"{name} is not in README.md as it is in questions.sql"
    # The jobs of the files alone are not work.
    assert con.execute(sql).fetchall() == [], name
    con.execute(sql.replace("= 'work'", "<> 'practice'"))

# The same, counted without an engine.
work = {j["job"]: j for j in doubled["jobs"] if j["purpose"] == "work"}
faults, seen = defaultdict(float), defaultdict(int)
for c in doubled["causes"]:
    if c["job"] in work:
        faults[c["system"], c["cause"]] += c["share"]
        seen[c["system"], c["cause"]] += c["by_eye"]
for system, cause, count, eye in answers["csv"]["causes-by-system"]:
    assert abs(faults[system, cause] - count) <= 0.0501 and seen[system, cause] == eye, (system, cause, count)
assert len(answers["csv"]["causes-by-system"]) == min(20, len(faults))

again = {
    (a, b)
    for a, x in work.items()
    for b, y in work.items()
    if a < b and all(x[k] == y[k] for k in ["aircraft", "complaint", "complaint_at"]) and 0 <= y["engine_hours"] - x["engine_hours"] <= 50
}
assert {(r[3], r[4]) for r in answers["csv"]["repeat-complaints"]} == again
assert len(again) == len(rows["jobs"]), "20 hours later is a repeat; 90 hours later, and 70 after that, is none"

by_check = defaultdict(list)
for r in doubled["readings"]:
    if r["job"] in work:
        by_check[r["check_name"]].append(r)
idle = {c: len(all) for c, all in by_check.items() if not any(r["leader_changed"] for r in all) and max(r["moved"] for r in all) < 0.05}
assert {r[0]: r[1] for r in answers["csv"]["idle-checks"]} == idle
assert 0 < len(idle) < len(by_check), "some checks change something, and some do not"
print(f"DuckDB {duckdb.__version__}: {len(rows['jobs'])} jobs, both forms alike, {len(questions)} questions answered as counted by hand.")
