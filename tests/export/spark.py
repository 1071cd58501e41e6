"""The same questions on Spark SQL, in local mode, over the same tables; the answers are held against DuckDB's. Not part of the gate: it takes
`pip install pyspark duckdb` and a Java runtime. Usage: spark.py LARGE_EXPORT [PARQUET_FOLDER]
"""

import os
import re
import sys
import time
from pathlib import Path

import duckdb
from pyspark.sql import SparkSession

here = Path(__file__).resolve().parent
folder = Path(sys.argv[1]).resolve()
QUESTIONS = dict(re.findall(r"-- name: (\S+)\n(.*?);", (here / "questions.sql").read_text(), re.S))
parquet = Path(sys.argv[2]).resolve() if len(sys.argv) > 2 else None
os.chdir(folder)
spark = SparkSession.builder.master("local[*]").appName("roughrun").config("spark.ui.enabled", "false").getOrCreate()
spark.sparkContext.setLogLevel("ERROR")
con = duckdb.connect()
con.execute((folder / "views-duckdb.sql").read_text())


def plain(rows):
    return [tuple(round(float(v), 6) if isinstance(v, (int, float)) and not isinstance(v, bool) else v for v in row) for row in rows]


def ask(form):
    for name, sql in QUESTIONS.items():
        start = time.monotonic()
        answer = plain(spark.sql(sql).collect())
        took = time.monotonic() - start
        assert answer == plain(con.execute(sql).fetchall()), (form, name)
        print(f"Spark {spark.version}, {form}, {name}: {len(answer)} rows in {took:.1f} s, as DuckDB")


for statement in (folder / "views-spark.sql").read_text().split(";"):
    if statement.strip():
        spark.sql(statement)
print(f"{spark.table('jobs').count()} jobs, {spark.table('readings').count()} readings")
ask("CSV")
if parquet:
    for table in ["jobs", "readings", "causes"]:
        spark.read.parquet(f"{parquet}/{table}").createOrReplaceTempView(table)
    ask("Parquet")
spark.stop()
