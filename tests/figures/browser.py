"""Opens a page of figures in a headless Chromium that can reach nothing: the browser takes every element as it was written, reports nothing, shows
something in each drawing's place, and prints it. Says so and ends well where there is no Chromium. Usage: browser.py PAGE.html [SCREENSHOT.png]
"""

import re
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from html.parser import HTMLParser
from pathlib import Path

NAMES = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable"]
browser = next(filter(None, map(shutil.which, NAMES)), None)
page = Path(sys.argv[1]).resolve()
if not browser:
    print("THE PAGE OF FIGURES WAS NOT OPENED IN A BROWSER: there is no Chromium here.")
    sys.exit(0)


class Elements(HTMLParser):
    def __init__(self, text):
        super().__init__()
        self.tags, self.text = Counter(), []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags[tag] += 1
        assert tag not in ("script", "link", "img", "iframe", "object", "base"), tag
        for name, value in attrs:
            assert not name.startswith("on") and name not in ("href", "src"), (tag, name)

    def handle_data(self, data):
        self.text.append(data.strip())


with tempfile.TemporaryDirectory() as folder:
    common = [browser, "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", f"--user-data-dir={folder}/profile",
              "--host-resolver-rules=MAP * ~NOTFOUND", "--enable-logging=stderr", "--hide-scrollbars"]

    def run(*flags):
        done = subprocess.run([*common, *flags, page.as_uri()], capture_output=True, text=True, timeout=120)
        assert done.returncode == 0, done.stderr
        said = [l for l in done.stderr.splitlines() if "CONSOLE" in l or "Refused" in l]
        assert not said, said
        return done.stdout

    written, shown = Elements(page.read_text()), Elements(run("--dump-dom"))
    assert shown.tags == written.tags, (shown.tags - written.tags, written.tags - shown.tags)
    assert [t for t in shown.text if t] == [t for t in written.text if t]
    assert shown.tags["svg"] >= 4 and shown.tags["rect"] > 0 and shown.tags["table"] > 0, shown.tags
    pdf = Path(folder) / "page.pdf"
    run(f"--print-to-pdf={pdf}", "--no-pdf-header-footer")
    pages = len(re.findall(rb"/Type\s*/Page\b", pdf.read_bytes()))
    assert pdf.read_bytes().startswith(b"%PDF-") and pages >= 1, pages
    if len(sys.argv) > 2:
        run(f"--screenshot={Path(sys.argv[2]).resolve()}", "--window-size=1000,3600")
    version = subprocess.run([browser, "--version"], capture_output=True, text=True).stdout.strip()
    print(f"{version}: {shown.tags['svg']} drawings, {shown.tags['table']} tables as written, nothing reported, {pages} pages printed.")
