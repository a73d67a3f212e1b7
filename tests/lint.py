"""The lint list of .clang-tidy over the sources of core, edge, app, http and cli, tests apart: lint.py [FILE...]

Reads the compile commands of the release build. A file is looked at again only when it, a header of ours that it
includes, the list or the tool has changed; what was clean is remembered in build/release/lint/.
"""
import concurrent.futures
import hashlib
import json
import os
import pathlib
import re
import shlex
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
BUILD = ROOT / "build" / "release"
CLEAN = BUILD / "lint"
FOLDERS = ("core/", "edge/", "app/", "http/", "cli/")
INCLUDE = re.compile(r'^\s*#\s*include\s*"([^"]+)"', re.M)


def understood(command):
    """What clang must know of a command made for GCC: language, macros and where headers are."""
    kept, arguments = [], iter(shlex.split(command))
    for argument in arguments:
        if argument in ("-isystem", "-I", "-D", "-include"):
            kept += [argument, next(arguments)]
        elif argument.startswith(("-isystem", "-I", "-D", "-std=", "-O")):
            kept.append(argument)
    return kept


def with_headers(path, seen):
    if path not in seen and path.exists():
        seen.add(path)
        for name in INCLUDE.findall(path.read_text()):
            with_headers(ROOT / name, seen)
    return seen


def fingerprint(path, arguments, version):
    digest = hashlib.sha256((version + " ".join(arguments) + (ROOT / ".clang-tidy").read_text()).encode())
    for each in sorted(with_headers(path, set())):
        digest.update(each.read_bytes())
    return digest.hexdigest()


def main():
    wanted = {str(pathlib.Path(name).resolve().relative_to(ROOT)) for name in sys.argv[1:]}
    version = subprocess.run(["clang-tidy", "--version"], capture_output=True, text=True, check=True).stdout
    CLEAN.mkdir(exist_ok=True)
    remembered = {mark.name for mark in CLEAN.iterdir()}
    jobs, marks = [], set()
    for entry in json.loads((BUILD / "compile_commands.json").read_text()):
        path = pathlib.Path(entry["file"])
        name = str(path.relative_to(ROOT)) if path.is_relative_to(ROOT) else ""
        if not name.startswith(FOLDERS) or name.endswith("_test.cc") or (wanted and name not in wanted):
            continue
        arguments = understood(entry["command"])
        mark = fingerprint(path, arguments, version)
        marks.add(mark)
        if mark not in remembered:
            jobs.append((name, arguments, mark))
    if not marks:
        sys.exit("lint: no source found in the compile commands")
    if not wanted:
        for old in remembered - marks:
            (CLEAN / old).unlink()

    def look(job):
        name, arguments, mark = job
        result = subprocess.run(["clang-tidy", "--quiet", name, "--", *arguments],
                                cwd=ROOT, capture_output=True, text=True)
        if result.returncode == 0:
            (CLEAN / mark).touch()
            return ""
        return result.stdout or result.stderr

    bad = 0
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        for complaint in pool.map(look, jobs):
            if complaint:
                bad += 1
                print(complaint, end="", flush=True)
    print(f"lint: {len(marks)} files, {len(jobs)} looked at, {bad} with complaints")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
