"""Holds the files that people write against the generated schemas, with validator and YAML reader from outside the project.

Every shipped tree file and layout, the cards and shop file of the demo and the files of the tests' good tree must pass; files with one
mistake that a schema can see must not. Run from the root of the project.
"""

import glob
import json
import sys

import yaml
from jsonschema import Draft202012Validator

# Folders of tests/trees/bad and tests/trees/bad-cards whose mistake is one of shape or range.
SEEN = [
    "cause-and-effect", "chance-above-one", "chance-below-nought", "empty-file", "field-missing-deep", "field-unknown",
    "field-unknown-deep", "format-missing", "format-unknown", "gate-counts-nought", "key-of-two-letters", "layout-field",
    "layout-kind-unknown", "layout-ten-cylinders", "life-without-figures", "minutes-below-nought", "name-with-capitals",
    "no-check-source", "no-gate", "no-limit-source", "no-normal", "no-rate-source", "no-steps", "no-wakes-source",
    "rate-as-text", "rate-below-nought", "section-unknown", "site-kind-unknown", "two-gates", "wakes-above-one",
    "wakes-by-a-word", "allow-of-no-warning", "allow-by-name",
]
SEEN_OVERLAYS = ["learnt-field-unknown"]
SEEN_CARDS = ["field-unknown", "fitted-never", "hours-below-nought", "registration-empty", "site-unknown"]


class Reader(yaml.SafeLoader):
    """YAML with the keys of maps as texts, as JSON has them."""

    def construct_mapping(self, node, deep=False):
        return {str(key): value for key, value in super().construct_mapping(node, deep=True).items()}


validators = {}
for kind in ["tree", "layout", "aircraft", "shop", "learnt", "practice"]:
    with open(f"trees/schema/{kind}.schema.json", encoding="utf-8") as file:
        schema = json.load(file)
    Draft202012Validator.check_schema(schema)
    validators[kind] = Draft202012Validator(schema)


def faults(path, kind):
    with open(path, encoding="utf-8") as file:
        value = yaml.load(file, Reader)
    return [f"{path}: {'/'.join(map(str, e.absolute_path))}: {e.message}" for e in validators[kind].iter_errors(value)]


good = [(path, "tree") for path in glob.glob("trees/*.yaml") + glob.glob("tests/trees/good/*.yaml") + glob.glob("tests/trees/plain/*.yaml") + glob.glob("tests/trees/warnings/*/*.yaml")]
good += [(path, "layout") for path in glob.glob("trees/layouts/*.yaml") + glob.glob("tests/trees/good/layouts/*.yaml")]
good += [(path, "aircraft") for path in glob.glob("tests/demo/t*.yaml") + glob.glob("tests/trees/good-cards/*.yaml")]
good += [(path, "practice") for path in glob.glob("trees/practice/*.yaml")]
good += [("tests/demo/shop.yaml", "shop"), ("tests/trees/bad/learnt-over-another/learnt.yaml", "learnt")]
wrong = [fault for path, kind in good for fault in faults(path, kind)]

passed = 0
for name in SEEN:
    files = glob.glob(f"tests/trees/bad/{name}/*.yaml") + glob.glob(f"tests/trees/bad/{name}/layouts/*.yaml")
    if not any(faults(path, "layout" if "/layouts/" in path else "tree") for path in files):
        wrong.append(f"tests/trees/bad/{name}: no fault was seen")
    passed += 1
for name in SEEN_OVERLAYS:
    if not faults(f"tests/trees/bad/{name}/learnt.yaml", "learnt"):
        wrong.append(f"tests/trees/bad/{name}: no fault was seen")
    passed += 1
for name in SEEN_CARDS:
    if not faults(f"tests/trees/bad-cards/{name}.yaml", "aircraft"):
        wrong.append(f"tests/trees/bad-cards/{name}.yaml: no fault was seen")
    passed += 1

print("\n".join(wrong) if wrong else f"{len(good)} files fit their schemas, and {passed} with a mistake do not.")
sys.exit(1 if wrong else 0)
