"""What all cases share: where the program runs, talking to it, and what would be true of a bike."""
import contextlib
import json
import os
import pathlib
import re
import select
import shutil
import subprocess
import sys
import tempfile
import time
import tomllib
import unittest

ROOT = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else ".").resolve()
BINARY = os.environ.get("CRANKWISE_BINARY", str(ROOT / "build/release/crankwise"))
CLASS = "motocross-125-two-stroke"
NOBODY = 65534

SCALE = {"always": 0.98, "nearly always": 0.90, "mostly": 0.75, "often": 0.50, "sometimes": 0.25, "seldom": 0.10,
         "rarely": 0.03, "hardly ever": 0.01}


def load_knowledge():
    merged = {}
    for path in sorted((ROOT / "knowledge").glob("*.toml")):
        for kind, things in tomllib.loads(path.read_text()).items():
            if isinstance(things, dict):
                merged.setdefault(kind, {}).update(things)
    return merged


KNOWLEDGE = load_knowledge()


def number(value, traits):
    if isinstance(value, dict):
        value = value["two-stroke" if "two-stroke" in traits else "four-stroke"]
    return SCALE.get(value, value)


def applies(thing, traits):
    def holds(word):
        return word[4:] not in traits if word.startswith("not ") else word in traits
    return all(any(holds(word) for word in line.split(" or ")) for line in thing.get("applies", []))


def ids_of(kind, traits):
    return [i for i, thing in KNOWLEDGE[kind].items() if applies(thing, traits)]


class Result:
    def __init__(self, code, out, err):
        self.code, self.out, self.err = code, out, err


class Place:
    """A home of its own with the program in it."""

    def __init__(self):
        self.dir = pathlib.Path(tempfile.mkdtemp(prefix="crankwise-program-"))
        self.home = self.dir / "home"
        self.home.mkdir()
        kept = {k: v for k, v in os.environ.items() if k in ("PATH", "LANG", "LC_ALL") or k.endswith("SAN_OPTIONS")}
        self.env = dict(kept, HOME=str(self.home), XDG_DATA_HOME=str(self.home / "data"), NO_COLOR="1", TERM="dumb")
        self.shop = self.home / "data/crankwise/shop.db"
        self.talking = []

    def close(self):
        for process in self.talking:
            process.kill()
            process.wait()
            for stream in (process.stdin, process.stdout, process.stderr):
                with contextlib.suppress(BrokenPipeError):
                    stream.close()
        shutil.rmtree(self.dir, ignore_errors=True)

    def run(self, *args, text="", env=None, timeout=120, **more):
        data = text if isinstance(text, bytes) else text.encode()
        done = subprocess.run([BINARY, *args], input=data, capture_output=True, env=dict(self.env, **(env or {})),
                              timeout=timeout, **more)
        return Result(done.returncode, done.stdout.decode(errors="replace"), done.stderr.decode(errors="replace"))

    def good(self, *args, **more):
        result = self.run(*args, **more)
        if result.code != 0 or result.err:
            raise AssertionError(f"{args}: exit {result.code}\n{result.out}\n{result.err}")
        return result.out

    def json(self, *args, **more):
        return json.loads(self.good(*args, "--json", **more))

    def files(self):
        return {str(p.relative_to(self.dir)): p.read_bytes() for p in sorted(self.dir.rglob("*")) if p.is_file()}


class Truth:
    """A bike with one fault: what would be seen, and whether a repair cures it."""

    def __init__(self, bike_class, fault):
        self.traits = KNOWLEDGE["class"][bike_class]["traits"]
        self.fault = fault
        self.causes = {f: number(s, self.traits) for f, s in KNOWLEDGE["fault"][fault].get("causes", {}).items()}
        self.fixed = False

    def so(self, finding):
        return not self.fixed and self.causes.get(finding, 0) >= 0.5

    def do(self, step):
        if self.fault in KNOWLEDGE["step"].get(step, {}).get("cures", {}):
            self.fixed = True


class Dialogue:
    """The interactive mode, one question at a time."""

    PROMPT = re.compile(r"(?:[>:?]|\(enter: [^)]*\)\?) $")

    def __init__(self, place, *args):
        self.process = subprocess.Popen([BINARY, *(args or ("work",))], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                                        stderr=subprocess.PIPE, env=place.env)
        place.talking.append(self.process)
        os.set_blocking(self.process.stdout.fileno(), False)
        self.all, self.ended = "", False
        self.said = self.read()

    def read(self, timeout=60):
        said, end = "", time.time() + timeout
        while time.time() < end and not self.ended:
            asked = self.PROMPT.search(said) is not None
            ready, _, _ = select.select([self.process.stdout], [], [], 0.04 if asked else 0.5)
            if ready:
                piece = os.read(self.process.stdout.fileno(), 1 << 16)
                self.ended = not piece
                said += piece.decode(errors="replace")
            elif asked:
                break  # it waits for an answer
        self.all += said
        return said

    def say(self, text):
        data = text if isinstance(text, bytes) else text.encode()
        self.all += f"<{text}>\n"
        with contextlib.suppress(BrokenPipeError):
            self.process.stdin.write(data + b"\n")
            self.process.stdin.flush()
        self.said = self.read()
        return self.said

    def waits(self):
        return not self.ended

    def end(self):
        """No more input; the exit code and what it still said."""
        with contextlib.suppress(BrokenPipeError):
            self.process.stdin.close()
        self.said = self.read()
        err = self.process.stderr.read().decode(errors="replace")
        code = self.process.wait(60)
        self.process.stdout.close()
        self.process.stderr.close()
        return code, self.said, err

    def question(self):
        """The finding that is asked for, by its text."""
        flat = " ".join(self.said.split())
        best = None
        for finding, thing in KNOWLEDGE["finding"].items():
            at = flat.rfind(" ".join(thing["ask"].split()))
            if at >= 0 and (best is None or at > best[0]):
                best = (at, finding)
        return best and best[1]

    def step(self):
        found = re.findall(r"\[([a-z0-9-]+)\]", self.said)
        return found[-1] if found else None


class Case(unittest.TestCase):
    def setUp(self):
        self.place = Place()
        self.addCleanup(self.place.close)

    def good(self, *args, **more):
        return self.place.good(*args, **more)

    def bad(self, *args, says=(), **more):
        """Refused: exit code 2, nothing on standard output, on standard error what is wrong."""
        result = self.place.run(*args, **more)
        self.assertEqual(result.code, 2, f"{args}: {result.out}{result.err}")
        self.assertEqual(result.out, "", args)
        self.assertTrue(result.err.startswith("crankwise: "), f"{args}: {result.err}")
        for part in [says] if isinstance(says, str) else says:
            self.assertIn(part, result.err, args)
        for word in ("exception", "basic_", "std::", "terminate", "Sanitizer"):
            self.assertNotIn(word, result.err, args)
        return result.err

    def bike(self, name="Red 125", bike_class=CLASS, *more):
        return self.place.json("add-bike", name, "--class", bike_class, *more)["bike"]

    def entries(self, job=None):
        return self.place.json("log", *(["--job", str(job)] if job else []))["entries"]

    def facts(self, job=None):
        """The entries without their times."""
        return [(e["kind"], json.dumps(e["data"], sort_keys=True)) for e in self.entries(job)]
