"""Fails when the docs lag behind: docs.py [ROOT], or docs.py --selftest [ROOT], which shows that each rule can fail.

- docs/commands.md names every command and option of the program (CRANKWISE_BINARY, asked for `--commands-json`), and a
  command line in any doc uses only those;
- docs/knowledge-format.md names, under its kind, every field that edge/knowledge_load.cc reads;
- docs/architecture.md names every folder of the tree;
- paths in code marks exist, and so does what a link points to, its heading included.
"""
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

NOT_OURS = {"build", "node_modules", "__pycache__"}
SEEDS = re.compile(r"^tests/fuzz/corpus/")
READS = re.compile(r"(?:\.|->)(?:need_text|text|flag|number|per_cycle|chance|list|condition|chances|factors|range|table|"
                   r"tables|choice<\w+>)\(\s*\"([\w-]+)\"")


def docs_of(root):
    return [path for path in [root / "README.md", *sorted((root / "docs").rglob("*.md"))] if path.is_file()]


def folders_of(root):
    found = []
    for path, folders, files in os.walk(root):
        folders[:] = sorted(f for f in folders if f not in NOT_OURS and not f.startswith("."))
        name = pathlib.Path(path).relative_to(root).as_posix()
        if name != "." and (files or folders) and not SEEDS.match(name):
            found.append(name)
    return found


def code_marks(text):
    """(line, text) of what stands in code marks or code blocks, line by line."""
    found, block = [], False
    for number, line in enumerate(text.split("\n"), 1):
        if line.lstrip().startswith("```"):
            block = not block
        elif block or line.startswith("    "):
            found.append((number, line.strip()))
        else:
            found += [(number, mark) for mark in re.findall(r"`([^`]+)`", line)]
    return found


def headings(text):
    """The anchors of a page's headings."""
    found = set()
    for title in re.findall(r"^#+ +(.+?)\s*$", re.sub(r"^```.*?^```", "", text, flags=re.M | re.S), re.M):
        anchor = re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-")
        while anchor in found:
            anchor += "-1"
        found.add(anchor)
    return found


def flattened(commands, before=""):
    """(name, its options) of every command, "" for the program itself; one command may hold others. A short option that
    has a long name, and the --help of a command, need no telling."""
    for command in commands:
        name = f"{before} {command['name']}".strip()
        options = []
        for option in command.get("options", []):
            parts = [part.strip() for part in option["name"].split(",")]
            options += [part for part in parts if part.startswith("--")] or parts
        yield name, [o for o in options if o != "--commands-json" and not (name and o == "--help")]
        yield from flattened(command.get("commands", []), name)


def check_commands(root, commands):
    page = root / "docs" / "commands.md"
    if not page.is_file():
        return ["docs/commands.md is missing"]
    text = page.read_text()
    problems = []
    known, options_of = set(), {"": {"--help", "--version"}}
    for name, options in flattened(commands):
        if name and not re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", text):
            problems.append(f"docs/commands.md does not name the command {name}")
        for option in options:
            if not option:
                problems.append(f"--commands-json lists an option of {name or 'crankwise'} without its name")
            elif not re.search(rf"(?<![\w-]){re.escape(option)}(?![\w-])", text, 0 if option.startswith("-") else re.I):
                problems.append(f"docs/commands.md does not name {option}, an option of {name or 'crankwise'}")
        known.add(name.split()[0] if name else "")
        options_of.setdefault(name.split()[0] if name else "", {"--help"}).update(options)
    for path in docs_of(root):
        for number, mark in code_marks(path.read_text()):
            match = re.match(r"(?:\$ )?(?:\./run|crankwise)((?: .*)?)$", mark)
            if not match:
                continue
            where = f"{path.relative_to(root).as_posix()}:{number}"
            words = re.split(r"\s[|>#]|\s{2,}", match.group(1) + " ")[0].split()
            command = next((w for w in words if re.fullmatch(r"[a-z][a-z-]*", w)), "")
            if words and re.fullmatch(r"[a-z][a-z-]*", words[0]) and words[0] not in known:
                problems.append(f"{where}: there is no command {words[0]}")
                continue
            allowed = options_of[""] | options_of.get(command, set())
            for option in re.findall(r"(?<![\w-])--[a-z][\w-]*", " ".join(words)):
                if option not in allowed:
                    problems.append(f"{where}: {command or 'crankwise'} has no option {option}")
    return problems


def fields_read(source):
    """kind -> fields that the loader asks for."""
    kinds = dict((of, kind) for kind, of in re.findall(r'kind == "(\w+)"\)\s*put\(k\.(\w+)\)', source))
    shelves = {"classes": "BikeClass", "simulated": "SimulatedClass"}
    found = {}
    for shelf, kind in kinds.items():
        type_name = shelves.get(shelf, kind.capitalize())
        body = re.search(rf"^void read\(TomlReader& \w+, {type_name}& \w+\) \{{(.*?)^\}}", source, re.M | re.S)
        found[kind] = set(READS.findall(body.group(1))) if body else set()
    return found


def check_knowledge(root):
    page, loader = root / "docs" / "knowledge-format.md", root / "edge" / "knowledge_load.cc"
    if not page.is_file():
        return ["docs/knowledge-format.md is missing"]
    simulated = root / "edge" / "simulated.cc"
    fields = fields_read(loader.read_text() + (simulated.read_text() if simulated.is_file() else ""))
    problems = [f"edge/knowledge_load.cc: no field found for {kind}: this test reads it wrongly"
                for kind, names in fields.items() if not names]
    if not fields:
        problems.append("edge/knowledge_load.cc: no kind found: this test reads it wrongly")
    # A section with [kind.ID] in its heading is about those kinds, one without about all; and a line that opens with
    # "A step ..." is about steps wherever it stands, to the end of its paragraph.
    marked = {kind: set() for kind in fields}
    told = set()
    for section in re.split(r"^(?=## )", page.read_text(), flags=re.M):
        heading = section.split("\n", 1)[0]
        about = [kind for kind in fields if f"[{kind}." in heading]
        told.update(about)
        for paragraph in re.split(r"\n\s*\n|\n(?=(?:A|An|Every) \w)", section):
            opening = re.match(r"(?:A|An|Every) (\w+)\b", paragraph)
            mine = [opening.group(1)] if opening and opening.group(1) in fields else about or list(fields)
            words = {word for mark in re.findall(r"`([^`]+)`", paragraph) for word in re.findall(r"[\w-]+", mark)}
            for kind in mine:
                marked[kind] |= words
    for kind, names in sorted(fields.items()):
        if kind not in told:
            problems.append(f"docs/knowledge-format.md has no heading with [{kind}.ID]")
        problems += [f"docs/knowledge-format.md does not name `{name}`, a field of [{kind}.ID]"
                     for name in sorted(names - marked[kind])]
    return problems


def check_folders(root):
    page = root / "docs" / "architecture.md"
    if not page.is_file():
        return ["docs/architecture.md is missing"]
    text = page.read_text()
    problems = []
    for folder in folders_of(root):
        last = folder.split("/")[-1]
        if not re.search(rf"(?<![\w/-])(?:{re.escape(folder)}(?![\w-])|{re.escape(last)}/)", text):
            problems.append(f"docs/architecture.md does not name the folder {folder}/")
    return problems


def check_paths(root):
    problems = []
    tops = {folder.split("/")[0] for folder in folders_of(root)}
    for path in docs_of(root):
        text = path.read_text()
        name = path.relative_to(root).as_posix()
        for number, line in enumerate(text.split("\n"), 1):
            for target in re.findall(r"\]\(([^)\s]+)\)", re.sub(r"`[^`]*`", "", line)):
                if re.match(r"[a-z]+:", target):
                    continue
                place, _, anchor = target.partition("#")
                page = (path.parent / place).resolve() if place else path
                if not page.exists():
                    problems.append(f"{name}:{number}: the link to {target} leads nowhere")
                elif anchor and page.suffix == ".md" and anchor not in headings(page.read_text()):
                    problems.append(f"{name}:{number}: {target}: no such heading")
        for number, mark in code_marks(text):
            for word in re.findall(r"(?<![\w./~$-])[\w.-]+/[\w./-]*\w/?(?![\w*{<])", mark):
                if word.split("/")[0] in tops and not (root / word).exists():
                    problems.append(f"{name}:{number}: there is no {word}")
    if not (root / "README.md").is_file():
        problems.append("README.md is missing")
    return problems


def check(root, commands):
    return check_commands(root, commands) + check_knowledge(root) + check_folders(root) + check_paths(root)


# A small tree that is right; commands.json is what its program says.
GOOD = {
    "README.md": "# A\n[c](docs/commands.md#the-commands) `./run next --json` `./test` [w](https://example.org/x)\n"
                 "    ./run judge CASE    # judges\n",
    "docs/commands.md": "## The commands\n`next`: what now; `--json`, `-q`. `judge CASE`: judges. `bike add`: adds.\n"
                        "`crankwise --demo`, `crankwise bike add`",
    "docs/architecture.md": "`edge/`, `docs/`, `core/belief/` in\n\n    core/\n      words/\n\n`edge/knowledge_load.cc`",
    "docs/knowledge-format.md": "# K\n`source`\n\n## `[fault.ID]` a\n`name`, `{ life_h = 3 }`\n\n"
                                "## `[step.ID]`, `[class.ID]` b\n`name`\nA step with `money = 3` costs.\n",
    "edge/knowledge_load.cc": 'void read(TomlReader& t, Fault& x) {\n  x.name = t.need_text("name");\n'
                              '  if (auto w = t.table("life_h")) w->number("life_h", 1, 2);\n}\n'
                              'void read(TomlReader& t, Step& x) {\n  x.name = t.text("name");\n'
                              '  x.money = t.per_cycle("money", 0, 9);\n}\n'
                              'void read(TomlReader& t, BikeClass& x) {\n  x.name = t.choice<K>("name", k, 1);\n}\n'
                              'if (kind == "fault") put(k.faults);\nelse if (kind == "step") put(k.steps);\n'
                              'else if (kind == "class") put(k.classes);\n',
    "core/belief/a.h": "",
    "core/words/a.h": "",
    "commands.json": json.dumps([
        {"name": "", "options": [{"name": "--demo"}, {"name": "--commands-json"}]},
        {"name": "next", "options": [{"name": "-j,--json"}, {"name": "-q"}, {"name": "-h,--help"}]},
        {"name": "judge", "options": [{"name": "case"}]},
        {"name": "bike", "options": [], "commands": [{"name": "add", "options": []}]}]),
}
# File of GOOD, what is taken out of it, what is put there, and what must be said about it.
TRIALS = [
    ("README.md", "", "", ""),
    ("commands.json", '"case"', '""', "lists an option of judge without its name"),
    ("commands.json", '"next"', '"nearest"', "does not name the command nearest"),
    ("docs/commands.md", "`next`", "", "does not name the command next"),
    ("docs/commands.md", "bike add", "bike", "does not name the command bike add"),
    ("docs/commands.md", "`--json`", "", "does not name --json"),
    ("docs/commands.md", "-q", "", "does not name -q"),
    ("docs/commands.md", "crankwise --demo", "crankwise", "does not name --demo"),
    ("docs/commands.md", " CASE", "", "does not name case"),
    ("docs/commands.md", "crankwise bike", "crankwise bikes", "there is no command bikes"),
    ("README.md", "next --json", "next --jso", "next has no option --jso"),
    ("README.md", "next --json", "judge --json", "judge has no option --json"),
    ("docs/commands.md", None, "", "docs/commands.md is missing"),
    ("docs/knowledge-format.md", "`{ life_h = 3 }`", "life_h", "does not name `life_h`, a field of [fault.ID]"),
    ("docs/knowledge-format.md", "`money = 3`", "it", "does not name `money`, a field of [step.ID]"),
    ("docs/knowledge-format.md", "A step with `money", "One with `cost", "does not name `money`, a field of [step.ID]"),
    ("docs/knowledge-format.md", "`[class.ID]`", "", "no heading with [class.ID]"),
    ("edge/knowledge_load.cc", 't.text("name")', "read_name(t)", ""),
    ("edge/knowledge_load.cc", 't.text("name")', 't.text("nom")', "does not name `nom`, a field of [step.ID]"),
    ("edge/knowledge_load.cc", "void read(TomlReader& t, Step", "void see(TomlReader& t, Step", "no field found for step"),
    ("docs/architecture.md", "words/", "word/", "does not name the folder core/words/"),
    ("docs/architecture.md", "`edge/`", "", ""),
    ("docs/architecture.md", "`docs/`", "", "does not name the folder docs/"),
    ("docs/architecture.md", "edge/knowledge_load.cc", "edge/knowledge_loader.cc", "there is no edge/knowledge_loader.cc"),
    ("docs/architecture.md", None, "", "docs/architecture.md is missing"),
    ("README.md", "docs/commands.md", "docs/command.md", "leads nowhere"),
    ("README.md", "#the-commands", "#commands", "no such heading"),
    ("README.md", None, "", "README.md is missing"),
]


def selftest():
    wrong = 0
    for name, old, new, expected in TRIALS:
        with tempfile.TemporaryDirectory() as folder:
            tree = pathlib.Path(folder)
            for each, text in GOOD.items():
                (tree / each).parent.mkdir(parents=True, exist_ok=True)
                (tree / each).write_text(text)
            if old is None:
                (tree / name).unlink()
            else:
                (tree / name).write_text(GOOD[name].replace(old, new))
            said = check(tree, json.loads((tree / "commands.json").read_text()))
        if not (any(expected in line for line in said) if expected else not said):
            wrong += 1
            print(f"tried: {name}, {old!r} -> {new!r}\n  expected: {expected or 'nothing'}\n  said: {said}")
    print(f"docs selftest: {len(TRIALS)} trees tried, {wrong} judged wrongly")
    return 1 if wrong else 0


def main():
    if "--selftest" in sys.argv:
        return selftest()
    root = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else pathlib.Path(__file__).parent.parent).resolve()
    program = os.environ.get("CRANKWISE_BINARY", root / "build" / "release" / "crankwise")
    said = subprocess.run([program, "--commands-json"], capture_output=True, text=True)
    if said.returncode != 0:
        print(f"{program} --commands-json ended with {said.returncode}\n{said.stderr}")
        return 1
    problems = check(root, json.loads(said.stdout))
    print("\n".join(problems) or "docs: they name all there is")
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main())
