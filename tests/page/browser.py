"""Prints the pages of jobs from a headless Chromium that can reach nothing and counts the sheets: one for the page and for the letter, and in
the whole report heads that stay with their tables. Of the simulated jobs the shop's page is printed, and every page counted in lines. Says so
and ends well where there is no Chromium.
Usage: browser.py ROUGHRUN RECORDS SIMULATED [FOLDER FOR PICTURES]
"""

import re
import shutil
import subprocess
import sys
import tempfile
import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

NAMES = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable"]
READERS = ["shop", "owner", "record"]
LINES = 60
browser = next(filter(None, map(shutil.which, NAMES)), None)
roughrun = Path(sys.argv[1]).resolve()
pictures = Path(sys.argv[4]).resolve() if len(sys.argv) > 4 else None


def jobs_in(records):
    jobs = sorted({path.name.split(".")[0] for path in records.rglob("*.jsonl")})
    assert jobs, f"no records under {records}"
    return [(records, job) for job in jobs]


def printed_as(form, records, job, *flags):
    command = [roughrun, "--records", records, "report", job, "--format", form, *flags]
    return subprocess.run(command, capture_output=True, check=True, text=True).stdout


demo, simulated = (jobs_in(Path(folder).resolve()) for folder in sys.argv[2:4])
for records, job in demo + simulated:
    for reader in READERS:
        lines = printed_as("text", records, job, "--for", reader).splitlines()
        assert len(lines) <= LINES, f"{job} for {reader} has {len(lines)} lines"
said = f"{len(demo + simulated)} jobs, at most {LINES} lines each for {', '.join(READERS)}"
if not browser:
    print(f"{said}. THE PAGES OF JOBS WERE NOT PRINTED: there is no Chromium here.")
    sys.exit(0)

with tempfile.TemporaryDirectory() as folder:

    def own():
        """A folder for each thread: two browsers cannot share a profile."""
        path = Path(folder) / str(threading.get_ident())
        path.mkdir(exist_ok=True)
        return path

    def chromium(page, *flags):
        common = [browser, "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", f"--user-data-dir={own()}/profile",
                  "--host-resolver-rules=MAP * ~NOTFOUND", "--hide-scrollbars"]
        done = subprocess.run([*common, *flags, page.as_uri()], capture_output=True, text=True, timeout=120)
        assert done.returncode == 0, done.stderr

    def sheets(html):
        page, pdf = own() / "page.html", own() / "page.pdf"
        page.write_text(html)
        chromium(page, f"--print-to-pdf={pdf}", "--no-pdf-header-footer")
        assert pdf.read_bytes().startswith(b"%PDF-")
        return len(re.findall(rb"/Type\s*/Page\b", pdf.read_bytes()))

    def one_sheet(of):
        records, job, reader = of
        count = sheets(printed_as("html", records, job, "--for", reader))
        assert count == 1, f"{job} for {reader} takes {count} sheets"
        if pictures:
            pictures.mkdir(parents=True, exist_ok=True)
            chromium(own() / "page.html", f"--screenshot={pictures / f'{job}-{reader}.png'}", "--window-size=900,1250")

    def whole_report(of):
        whole = printed_as("html", *of, "--whole")
        style = whole.split("<style>")[1].split("</style>")[0].split("@media print")[1]
        for rule in ["thead{display:table-header-group}", "tr,.keep,li{break-inside:avoid}", "h2,h3{break-after:avoid}"]:
            assert rule in style, rule
        heads = [table for table in re.findall(r"<table[^>]*>(.*?)</table>", whole, re.S) if "<th>" in table]
        assert heads and all(table.lstrip().startswith("<thead>") for table in heads)
        assert re.search(r'<table class="keep sign">.*Signature.*Certificate.*?</table>', whole, re.S)
        assert sheets(whole) > 1

    pages = [(*of, reader) for of in demo for reader in READERS] + [(*of, "shop") for of in simulated]
    with ThreadPoolExecutor(2) as both:
        for done in [both.map(one_sheet, pages), both.map(whole_report, demo)]:
            list(done)
    version = subprocess.run([browser, "--version"], capture_output=True, text=True).stdout.strip()
    print(f"{said}. {version}: {len(pages)} pages printed, one sheet each; signature and certificate in one piece.")
