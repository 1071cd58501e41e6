"""Prints the pages of jobs from a headless Chromium that can reach nothing and counts the sheets: one for the page and for the letter, and in
the whole report heads that stay with their tables. Says so and ends well where there is no Chromium.
Usage: browser.py ROUGHRUN RECORDS [FOLDER FOR PICTURES]
"""

import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

NAMES = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable"]
browser = next(filter(None, map(shutil.which, NAMES)), None)
roughrun, records = Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve()
pictures = Path(sys.argv[3]).resolve() if len(sys.argv) > 3 else None
if not browser:
    print("THE PAGES OF JOBS WERE NOT PRINTED: there is no Chromium here.")
    sys.exit(0)

jobs = sorted({path.name.split(".")[0] for path in records.rglob("*.jsonl")})
assert jobs, f"no records under {records}"
with tempfile.TemporaryDirectory() as folder:
    common = [browser, "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", f"--user-data-dir={folder}/profile",
              "--host-resolver-rules=MAP * ~NOTFOUND", "--hide-scrollbars"]

    def chromium(page, *flags):
        done = subprocess.run([*common, *flags, page.as_uri()], capture_output=True, text=True, timeout=120)
        assert done.returncode == 0, done.stderr

    def sheets(page):
        pdf = Path(folder) / "page.pdf"
        chromium(page, f"--print-to-pdf={pdf}", "--no-pdf-header-footer")
        assert pdf.read_bytes().startswith(b"%PDF-")
        return len(re.findall(rb"/Type\s*/Page\b", pdf.read_bytes()))

    def report(job, *flags):
        html = subprocess.run([roughrun, "--records", records, "report", job, "--format", "html", *flags], capture_output=True, check=True).stdout
        page = Path(folder) / "page.html"
        page.write_bytes(html)
        return page

    printed = 0
    for job in jobs:
        for reader in ["shop", "owner", "record"]:
            page = report(job, "--for", reader)
            count = sheets(page)
            assert count == 1, f"{job} for {reader} takes {count} sheets"
            printed += 1
            if pictures:
                pictures.mkdir(parents=True, exist_ok=True)
                chromium(page, f"--screenshot={pictures / f'{job}-{reader}.png'}", "--window-size=900,1250")
        whole = report(job, "--whole").read_text()
        style = whole.split("<style>")[1].split("</style>")[0].split("@media print")[1]
        for rule in ["thead{display:table-header-group}", "tr,.keep,li{break-inside:avoid}", "h2,h3{break-after:avoid}"]:
            assert rule in style, rule
        heads = [table for table in re.findall(r"<table[^>]*>(.*?)</table>", whole, re.S) if "<th>" in table]
        assert heads and all(table.lstrip().startswith("<thead>") for table in heads)
        assert re.search(r'<table class="keep sign">.*Signature.*Certificate.*?</table>', whole, re.S)
        assert sheets(report(job, "--whole")) > 1
    version = subprocess.run([browser, "--version"], capture_output=True, text=True).stdout.strip()
    print(f"{version}: {printed} pages of {len(jobs)} jobs printed, one sheet each; signature and certificate in one piece.")
