"""The program from outside, as a mechanic and a script meet it: program.py ROOT [CASE...]

CRANKWISE_BINARY names the program. Everything happens in temporary folders; cases are the classes below, or single
tests as Class.test_name. Where the system does not allow a test (mounting, other users) it is skipped and says so.
"""
import contextlib
import json
import os
import pathlib
import pty
import random
import re
import select
import shutil
import signal
import sqlite3
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


class Job(Case):
    """A whole job by scriptable commands."""

    def follow(self, truth, most):
        """Does what the program says until it is proven; how many entries that took."""
        for count in range(most):
            now = self.place.json("next")
            if now["proven"]:
                return count
            step = now["next"]
            kind, findings = step["kind"], {f for o in step.get("outcomes", []) for f in o.get("findings", {})}
            answers = [f"{f}={'yes' if truth.so(f) else 'no'}" for f in sorted(findings)]
            self.assertNotEqual(kind, "last-resort", "gave up on " + truth.fault)
            if kind == "question":
                self.good("answer", *answers)
            elif kind == "run":
                self.good("ran", "gone" if truth.fixed else "same", "--step", step["step"])
            elif kind in ("look", "measure", "listen"):
                self.good("did", step["step"], *answers)
            else:
                truth.do(step["step"])
                self.good("did", step["step"])
                self.good("ran", "gone" if truth.fixed else "same")
        self.fail(f"{truth.fault}: not proven after {most} entries; then {now['faults'][:3]}, next {now['next']['step']}")

    def test_from_the_first_words_to_the_proof(self):
        out = self.good("add-bike", "Red 125", "--class", CLASS, "--hours", "42")
        self.assertEqual(out, "Red 125 is entered; call it red-125\n")
        out = self.good("take-in", "red-125", "flat on top,", "spits back", "through the carburettor")
        self.assertIn("job 1 is open.", out)
        self.assertIn("crankwise answer ", out)
        self.assertEqual(self.entries(), [], "free words were taken for answers")
        self.good("answer", "flat-on-top=yes", "spits-back=yes")
        self.bad("close", "proven", says="not proven yet")
        self.follow(Truth(CLASS, "reed-chipped"), 60)
        self.assertIn("close proven", self.good("note", "petals in the bin"))
        closed = self.place.json("close", "proven", "--words", "one petal chipped")
        self.assertEqual(closed, {"job": 1, "end": "proven", "causes": ["reed-chipped"]})
        log = self.place.json("log", "--job", "1")
        self.assertEqual((log["end"], log["causes"], log["words"]), ("proven", ["reed-chipped"], "one petal chipped"))
        self.assertEqual(log["complaint"], "flat on top, spits back through the carburettor")
        self.bad("note", "late", "--job", "1", says="job 1 is closed")
        self.bad("next", says="no job is open")
        self.assertIn(KNOWLEDGE["fault"]["reed-chipped"]["name"], self.good("jobs"))
        self.assertIn("closed, proven", self.good("log", "--job", "1"))
        self.assertIn("one petal chipped", self.good("bike", "red-125"))
        # The next job on this bike knows what was renewed.
        renewed = self.place.json("bike", "red-125").get("renewed_h", {})
        self.assertEqual(renewed.get("reeds"), 42)
        self.assertEqual(self.good("undo"), "taken back on job 1: closing the job\n")
        self.assertEqual(self.place.json("jobs")[0]["end"], "open")

    def test_own_advice_leads_to_the_proof_on_other_bikes(self):
        for bike_class, fault, complaints in (
                ("motocross-250-four-stroke-carburettor", "inlet-clearance-tight", ("hard-start-hot", "flat-on-top")),
                ("motocross-450-four-stroke-injection", "pump-filter-clogged", ("starves-after-seconds",)),
                ("trail-two-stroke-air-cooled", "exhaust-port-carbon", ("no-power", "came-slowly"))):
            with self.subTest(fault=fault):
                job = self.place.json("take-in", self.bike("Bike " + fault, bike_class), "it does not run right")["job"]
                self.good("answer", *(c + "=yes" for c in complaints))
                self.follow(Truth(bike_class, fault), 60)
                self.assertIn(fault, self.place.json("close", "proven", "--job", str(job))["causes"])

    def test_undo_is_never_done(self):
        self.place.json("take-in", self.bike(), "bogs up top")
        states = []
        acts = (("answer", "bogs-up-top=yes", "plug-wet-fuel=unsure"), ("before", "new-owner=yes"),
                ("measured", "compression", "131 psi"), ("did", "fit-new-plug"), ("ran", "same"), ("ran", "better"),
                ("stripped", "tank", "seat"), ("cannot", "crankcase-pressure-test", "--because", "no kit"),
                ("note", "hose is new"), ("close", "not-proven", "--cause", "plug-worn"))
        for act in acts:
            states.append((self.good("next", "--json", "--job", "1"), self.facts(1)))
            self.good(*act, "--job", "1")
        for state in reversed(states):
            self.assertIn("taken back on job 1: ", self.good("undo", "--job", "1"))
            self.assertEqual((self.good("next", "--json", "--job", "1"), self.facts(1)), state)
        self.bad("undo", says="there is nothing to take back on job 1")

    def test_words_that_are_names_of_commands_are_words(self):
        self.place.json("take-in", self.bike(), "did hear work next undo")
        self.good("note", "next", "time", "close", "the", "tap", "and", "undo", "it")
        self.assertEqual(self.facts()[-1], ("noted", '{"text": "next time close the tap and undo it"}'))
        self.assertEqual(self.place.json("jobs")[0]["complaint"], "did hear work next undo")

    def test_several_jobs_at_once(self):
        bike = self.bike()
        self.place.json("take-in", bike, "one")
        self.place.json("take-in", bike, "two")
        self.good("answer", "bogs-up-top=yes", "--job", "1")
        self.good("note", "to the last one written to")
        self.assertEqual((len(self.entries(1)), len(self.entries(2))), (2, 0))
        self.good("--job", "2", "note", "before the command too")
        self.assertEqual(len(self.entries(2)), 1)

    def test_another_shop_file(self):
        other = str(self.place.dir / "deep/down/other.db")
        self.place.json("add-bike", "Red", "--class", CLASS, "--shop", other)
        self.assertFalse(self.place.shop.exists())
        self.assertEqual([b["id"] for b in self.place.json("bikes", env={"CRANKWISE_SHOP": other})], ["red"])
        self.assertEqual(self.place.json("bikes"), [])

    def test_backup(self):
        self.place.json("take-in", self.bike(), "bogs up top")
        self.good("answer", "bogs-up-top=yes")
        copy = str(self.place.dir / "copy.db")
        self.good("backup", copy)
        self.assertEqual(self.place.json("log", "--shop", copy), self.place.json("log"))
        self.bad("backup", copy, says="there is something of that name already")


class Work(Case):
    """The step-by-step mode."""

    def start(self, words="bogs up top", bike=True):
        if bike:
            self.bike()
        talk = Dialogue(self.place)
        self.assertIn("Which bike?", talk.said)
        talk.say("1")
        self.assertIn("What does the rider say?", talk.said)
        talk.say(words)
        return talk

    def leave(self, talk, answer="q"):
        if answer:
            talk.say(answer)
        code, said, err = talk.end()
        self.assertEqual((code, err), (0, ""), talk.all)
        return said

    def answer(self, talk, truth):
        """What a mechanic would say at this prompt."""
        said = " ".join(talk.said.split())[-500:]
        step = talk.step()
        if step:
            self.at = step
        if "(heard: " in said:
            return "y"
        if "Done?" in said:
            truth.do(self.at)
            return "y"
        if "trouble gone" in said and "same" in said.rsplit("trouble gone", 1)[1]:
            return "1" if truth.fixed else "3"
        if "old part go back in" in said:
            return "n" if truth.fixed else "y"
        if "Close the job as proven?" in said:
            return "y"
        if "for the record" in said or "not measured" in said or "why (enter" in said:
            return ""
        finding = talk.question()
        self.assertIsNotNone(finding, "not understood:\n" + talk.said)
        return "y" if truth.so(finding) else "n"

    def go_on(self, talk, truth, most):
        self.at = None
        for count in range(most):
            if not talk.waits():
                return count
            before = talk.all
            talk.say(self.answer(talk, truth))
            self.assertNotEqual(talk.all, before)
        self.fail(f"{truth.fault}: not at the end after {most} answers:\n{talk.all[-3000:]}")

    def test_from_the_first_words_to_the_proof(self):
        for bike_class, fault, words in (
                (CLASS, "reed-chipped", "no top end, hard to start, spits back through the carburettor"),
                ("motocross-250-four-stroke-carburettor", "inlet-clearance-tight", "hard to start hot, no power up top"),
                ("motocross-450-four-stroke-injection", "pump-filter-clogged", "pulls well, then dies as if out of fuel")):
            with self.subTest(fault=fault):
                place = self.place = Place()
                self.addCleanup(place.close)
                self.bike("Bike", bike_class)
                talk = self.start(words, bike=False)
                self.go_on(talk, Truth(bike_class, fault), 70)
                self.leave(talk, None)
                self.assertIn("is closed, proven", talk.all)
                job = self.place.json("jobs")[0]
                self.assertEqual((job["end"], job["complaint"]), ("proven", words))
                self.assertIn(fault, job["causes"])

    def test_asks_one_thing_at_a_time(self):
        talk = self.start("bogs up top, blubbers")
        for _ in range(6):
            self.assertTrue(talk.PROMPT.search(talk.said), talk.said)
            self.assertEqual(talk.read(timeout=0.5), "", "went on without an answer")
            asked = len(re.findall(r"y yes, n no|Done\?|trouble gone, 2", talk.said))
            self.assertLessEqual(asked, 1, talk.said)
            talk.say("n")
        self.leave(talk)

    def test_words_are_only_proposed(self):
        talk = self.start("bogs up top, plug is wet")
        seen = []
        while "(heard: " in talk.said:
            seen.append(talk.question())
            self.assertEqual(self.facts(), [], "written down before it was confirmed")
            talk.say("s")
        self.assertIn("bogs-up-top", seen)
        self.assertIn("plug-wet-fuel", seen)
        self.leave(talk)
        self.assertEqual(self.facts(), [])

    def past_words(self, talk, answer="y"):
        while "(heard: " in talk.said:
            talk.say(answer)
        return talk

    def test_b_takes_the_last_entry_back(self):
        talk = self.past_words(self.start())
        before, question = self.facts(), talk.question()
        talk.say("y")
        self.assertEqual(len(self.facts()), len(before) + 1)
        talk.say("b")
        self.assertIn("taken back: ", talk.said)
        self.assertEqual(self.facts(), before)
        self.assertEqual(talk.question(), question, "asks for something else than before")
        for _ in before:
            talk.say("b")
        self.assertEqual(self.facts(), [])
        talk.say("b")
        self.assertIn("nothing to take back", talk.said)
        self.leave(talk)

    def test_b_while_the_words_are_confirmed(self):
        talk = self.start("bogs up top, blubbers")
        first = talk.question()
        talk.say("y")
        self.assertNotEqual(talk.question(), first)
        talk.say("b")
        self.assertEqual(self.facts(), [])
        self.assertEqual(talk.question(), first, "what was taken back is asked again")
        self.leave(talk)

    def test_o_offers_other_steps(self):
        talk = self.past_words(self.start())
        talk.say("o")
        offered = re.findall(r"^ *(\d+) .*?\[([a-z0-9-]+)\]", talk.said, re.M | re.S)
        self.assertGreater(len(offered), 3, talk.said)
        self.assertEqual([int(n) for n, _ in offered], list(range(1, len(offered) + 1)))
        talk.say("")  # stay
        talk.say("o")
        chosen = offered[2][1]
        talk.say("3")
        self.assertIn("Your choice:", talk.said)
        self.assertIn(chosen, (talk.step(), talk.question()))
        talk.say("o")
        talk.say("look-air-filtr")
        self.assertIn('perhaps "look-air-filter"', talk.said)
        talk.say("o")
        talk.say("look-air-filter")
        self.assertIn(KNOWLEDGE["step"]["look-air-filter"]["name"], talk.said)
        talk.say("n")
        self.assertEqual(self.facts()[-2], ("did", '{"step": "look-air-filter"}'))
        self.leave(talk)

    def test_w_says_why_and_question_mark_explains(self):
        talk = self.past_words(self.start())
        before = self.facts()
        self.assertIn("before anything was known", talk.say("w"))
        self.assertTrue(talk.say("?").strip())
        self.assertTrue(talk.say("").strip())
        self.assertEqual(self.facts(), before)
        self.leave(talk)

    def test_leaving_loses_nothing(self):
        for way in ("q", None):
            with self.subTest(way=way):
                place = self.place = Place()
                self.addCleanup(place.close)
                talk = self.past_words(self.start())
                for answer in "nunn":
                    talk.say(answer)
                kept = self.facts()
                self.assertGreaterEqual(len(kept), 5)
                self.assertIn("crankwise work", self.leave(talk, way) or talk.all[-200:])
                self.assertEqual(self.facts(), kept)
                again = Dialogue(self.place)
                self.assertIn('Job 1 - Red 125 - "bogs up top"', again.said)
                self.leave(again)
                self.assertEqual(self.facts(), kept)

    def test_end_of_input_at_every_prompt(self):
        lines = ["1", "bogs up top, blubbers", "y", "y", "n", "n", "o", "look-air-filter", "y", "n", "u", "n", "w", "n", "b", "n",
                 "o", "fit-new-plug", "y", "3", "o", "compression-test", "138", "n", "q"]
        counts = []
        for length in range(len(lines) + 1):
            place = self.place = Place()
            self.bike()
            result = place.run("work", text="".join(line + "\n" for line in lines[:length]))
            self.assertEqual((result.code, result.err), (0, ""), f"after {lines[:length]}: {result.out[-500:]}")
            jobs = place.json("jobs")
            self.assertEqual(len(jobs), 1 if length >= 2 else 0)
            counts.append(len(self.entries()) if jobs else 0)
            place.close()
        self.assertGreater(counts[-1], 8)
        for before, after in zip(counts, counts[1:]):
            self.assertGreaterEqual(after, before - 1)  # b takes one back

    def test_words_are_not_taken_for_keys(self):
        # A mechanic who types what he sees must not take back, leave or close by its first letter.
        talk = self.past_words(self.start())
        before = self.facts()
        for words in ("black", "quite wet", "better", "old", "weak", "bad", "both", "quickly"):
            talk.say(words)
            self.assertTrue(talk.waits(), f"\"{words}\" made it leave")
            self.assertEqual(self.facts(), before, f"\"{words}\" changed the record")
        self.leave(talk)

    def test_better_after_a_repair_does_not_take_the_repair_back(self):
        talk = self.past_words(self.start())
        talk.say("o")
        talk.say("fit-new-plug")
        talk.say("y")
        self.assertIn("trouble gone", talk.said)
        self.assertIn(("did", '{"step": "fit-new-plug"}'), self.facts())
        talk.say("better")
        self.assertIn(("did", '{"step": "fit-new-plug"}'), self.facts())
        self.leave(talk)

    def test_q_at_a_free_question_does_not_close_the_job(self):
        talk = self.past_words(self.start())
        talk.say("o")
        talk.say("send-out-or-full-strip")
        talk.say("y")
        self.assertIn("What do you tell the owner?", talk.said)
        talk.say("q")
        talk.end()
        self.assertEqual(self.place.json("jobs")[0]["end"], "open")

    def test_readings_are_asked_until_they_can_be(self):
        talk = self.past_words(self.start())
        talk.say("o")
        talk.say("compression-test")
        self.assertIn("psi", talk.said)
        before = self.facts()
        for wrong in ("a lot", "138 kohm", "-5", "12 12", "1e999", "nan", "138 psx"):
            talk.say(wrong)
            self.assertTrue(talk.waits())
            self.assertEqual(self.facts(), before, wrong)
        self.assertIn("before anything was known", talk.say("w"), "w says why at every question")
        talk.say("138")
        self.assertIn(("measured", '{"reading": "compression", "unit": "psi", "value": 138.0}'), self.facts())
        self.leave(talk)

    def test_odd_lines(self):
        talk = self.past_words(self.start())
        before = self.facts()
        for odd in ("x" * 100000, "\t", b"\xff\xfe", b"\0", "\u2603", "Y " * 3):
            if odd == "Y " * 3:
                before = None
            talk.say(odd)
            self.assertTrue(talk.waits(), repr(odd[:20]))
            if before is not None:
                self.assertEqual(self.facts(), before)
        self.leave(talk, "Q\r")

    def test_words_that_are_not_utf8(self):
        self.bike()
        talk = Dialogue(self.place)
        talk.say("1")
        talk.say(b"h\xe4ngt am Gas")
        code, _, err = talk.end()
        self.assertIn(code, (0, 2), err)
        self.assertNotIn("exception", talk.all + err)

    def test_another_program_writes_meanwhile(self):
        talk = self.past_words(self.start())
        self.good("note", "from the other terminal")
        kept = len(self.facts())
        talk.say("y")
        if talk.waits() and len(self.facts()) == kept:  # it may say so and ask again
            talk.say("y")
        self.assertTrue(talk.waits(), "thrown out by a note of another program: " + talk.all[-300:])
        self.assertEqual(len(self.facts()), kept + 1)
        self.leave(talk)

    def test_nothing_to_work_on(self):
        self.bad("work", says="no bike is entered yet")
        self.place.json("take-in", self.bike(), "bogs")
        self.good("close", "given-up", "--words", "sold")
        self.assertIn("This job is closed.", self.good("work", "--job", "1"))
        self.bad("work", "--job", "2", says="there is no job 2")


class Judge(Case):
    CASE = {"crankwise_case": 1, "bike": {"class": CLASS, "hours": 40}, "complaint": "bogs up top",
            "context": {"new-owner": True}, "findings": {"bogs-up-top": "yes", "blubbers": "no", "plug-wet-fuel": "unsure"},
            "readings": {"compression": "138 psi"}, "steps": [{"step": "fit-new-plug", "run": "same"}]}

    def file(self, text):
        path = self.place.dir / "case.json"
        path.write_text(text if isinstance(text, str) else json.dumps(text))
        return str(path)

    def test_text_and_json_from_file_and_input(self):
        path = self.file(self.CASE)
        text = self.good("judge", path)
        for part in ("Likeliest now", "NEXT", "compression 138 psi against", "Sets of four and more faults: at most"):
            self.assertIn(part, text)
        self.assertEqual(self.good("judge", "-", text=json.dumps(self.CASE)), text)
        told = self.good("judge", path, "--json")
        self.assertEqual(self.good("judge", "-", "--json", text=json.dumps(self.CASE)), told)
        told = json.loads(told)
        chances = [f["probability"] for f in told["faults"]]
        self.assertEqual(chances, sorted(chances, reverse=True))
        self.assertTrue(all(0 <= p <= 1 for p in chances))
        self.assertEqual(len(told["faults"]), len(ids_of("fault", KNOWLEDGE["class"][CLASS]["traits"])))
        sets = [s["probability"] for s in told["fault_sets"]]
        self.assertEqual(sets, sorted(sets, reverse=True))
        self.assertLessEqual(sum(sets), 1 + 1e-6)
        self.assertTrue(0 <= told["left_out_bound"] <= 1)
        self.assertEqual(told["readings"][0]["reading"], "compression")
        self.assertFalse(told["proven"])
        for option in [told["next"], *told["alternatives"]]:
            self.assertGreaterEqual(option["own"]["minutes"], 0)
            self.assertGreaterEqual(option["whole_job_minutes"], told["next"]["whole_job_minutes"] - 1e-6)
            if option.get("outcomes"):
                self.assertLessEqual(sum(o["probability"] for o in option["outcomes"]), 1 + 1e-6)
        # Every fault that the text names is in the JSON with the same chance.
        for share, fault in re.findall(r"^ +([\d.]+) %  .* ([a-z0-9-]+)$", text, re.M):
            chance = next(f["probability"] for f in told["faults"] if f["fault"] == fault)
            self.assertAlmostEqual(100 * chance, float(share), delta=0.051)

    def test_leaves_no_trace(self):
        path = self.file(self.CASE)
        before = self.place.files()
        self.good("judge", path)
        self.bad("judge", self.file("{"))
        self.file(self.CASE)
        self.assertEqual(self.place.files(), before)

    def test_like_the_same_job_in_the_shop(self):
        self.place.json("take-in", self.bike("Red 125", CLASS, "--hours", "40"), "bogs up top")
        self.good("before", "new-owner=yes")
        self.good("answer", "bogs-up-top=yes", "blubbers=no", "plug-wet-fuel=unsure")
        self.good("measured", "compression", "138 psi")
        self.good("did", "fit-new-plug")
        self.good("ran", "same")
        job = self.place.json("next")
        job.pop("job")
        told = self.place.json("judge", self.file(self.CASE))
        self.assertEqual({f["fault"] for f in told["faults"]}, {f["fault"] for f in job["faults"]})
        chances = {f["fault"]: f["probability"] for f in job["faults"]}
        for f in told["faults"]:
            self.assertAlmostEqual(f["probability"], chances[f["fault"]], delta=1e-6)
        self.assertEqual(told["next"]["step"], job["next"]["step"])

    def test_a_part_that_goes_in_and_out_many_times(self):
        steps = [{"step": "carburettor-swap", "run": "same", "put_back": True}] * 12
        told = self.place.json("judge", self.file(dict(self.CASE, steps=steps)), timeout=60)
        chances = {f["fault"]: f["probability"] for f in told["faults"]}
        self.assertLess(chances["main-jet-blocked"], 0.02)

    def test_bad_cases(self):
        path = self.file(dict(self.CASE, findings={"bogs-up-tpo": "yes"}))
        self.bad("judge", path, says=[path + ":1: findings.bogs-up-tpo: ", 'perhaps "bogs-up-top"'])
        self.bad("judge", "-", text="{}\n{", says="-:")
        self.bad("judge", str(self.place.dir / "none.json"), says="none.json: cannot be read")
        self.bad("judge", str(self.place.dir))
        self.bad("judge", "-", text="")
        self.bad("judge", "-", text="[" * 100000)
        self.bad("judge", "-", text=b"\xff\xfe\x00")
        self.bad("judge", "-", text='{"crankwise_case": 1, "bike": {"class": "%s", "hours": 1e999}}' % CLASS)
        self.bad("judge", "-", text=json.dumps(self.CASE)[:-1])

    def test_bad_cases_for_programs(self):
        path = self.file(dict(self.CASE, findings={"bogs-up-tpo": "yes"}, context={"new-ownr": True}))
        result = self.place.run("judge", path, "--json")
        self.assertEqual(result.code, 2)
        self.assertEqual(json.loads(result.out)["problems"][0],
                         {"file": path, "line": 1, "field": "context.new-ownr", "wrong": 'no context is called "new-ownr"',
                          "right": 'perhaps "new-owner"'})
        self.assertEqual(len(json.loads(result.out)["problems"]), 2)
        self.assertIn("findings.bogs-up-tpo", result.err)


class Demo(Case):
    def test_opens_by_itself(self):
        first = self.good("--demo")
        self.assertIn("NEXT", first)
        self.assertEqual(self.good("--demo"), first)
        jobs = self.place.json("--demo", "jobs")
        self.assertEqual([j["end"] for j in jobs].count("open"), 1)
        self.assertGreaterEqual(len(jobs), 4)
        self.assertGreaterEqual(len(self.place.json("bikes", "--demo")), 3)
        self.assertFalse(self.place.shop.exists(), "the demo made a shop of its own")
        names = [p.name for p in self.place.shop.parent.iterdir()]
        self.assertEqual([n for n in names if "making" in n], [])
        # Times are those of the script, not of now.
        self.assertTrue(all(j["opened"] < "2026-12" for j in jobs), jobs)

    def test_is_worked_on_like_any_shop(self):
        self.good("--demo", "note", "tried it")
        self.assertIn("tried it", self.good("--demo", "log"))
        self.assertEqual(self.place.json("jobs"), [])

    def test_two_at_the_first_time(self):
        both = [subprocess.Popen([BINARY, "--demo", "jobs", "--json"], env=self.place.env, stdout=subprocess.PIPE,
                                 stderr=subprocess.PIPE) for _ in range(3)]
        told = [p.communicate(timeout=120) for p in both]
        whole = self.place.json("--demo", "jobs")
        self.assertGreaterEqual(len(whole), 4)
        for process, (out, err) in zip(both, told):
            self.assertEqual(process.returncode, 0, err)
            self.assertEqual(json.loads(out), whole)

    def test_a_making_cut_short(self):
        for delay in (0.02, 0.1, 0.2, 0.3):
            process = subprocess.Popen([BINARY, "--demo"], env=self.place.env, stdout=subprocess.DEVNULL)
            time.sleep(delay)
            process.send_signal(signal.SIGKILL)
            process.wait()
        self.assertIn("NEXT", self.good("--demo"))
        self.assertEqual([j["end"] for j in self.place.json("--demo", "jobs")].count("open"), 1)

    def test_keeps_away_from_the_real_shop(self):
        self.place.json("take-in", self.bike(), "bogs up top")
        real = self.good("jobs", "--json")
        env = {"CRANKWISE_SHOP": str(self.place.shop)}
        demo = self.place.json("--demo", "jobs", env=env)
        self.assertGreaterEqual(len(demo), 4, "--demo showed the real shop")
        self.good("--demo", "note", "only for trying", env=env)
        self.assertEqual(self.good("jobs", "--json"), real)
        self.assertEqual(self.facts(), [])

    def test_makes_nothing_in_a_shop_that_is_named_but_not_there(self):
        env = {"CRANKWISE_SHOP": str(self.place.dir / "mine.db")}
        self.place.run("--demo", env=env)
        self.assertEqual(self.place.json("jobs", env=env), [], "the demo was written into the user's own file")


class Programs(Case):
    """--json of every command."""

    def test_every_command_answers_in_json(self):
        self.place.json("take-in", self.bike("Red 125", CLASS, "--hours", "42"), "bogs up top, not smoking")
        case = self.place.dir / "case.json"
        case.write_text(json.dumps(Judge.CASE))
        lines = {
            "work": None,  # talks to people
            "take-in": ["red-125", "bogs"], "next": [], "suspects": [], "why": [], "hear": ["blubbers", "with", "the", "choke", "on"],
            "answer": ["bogs-up-top=yes"], "before": ["new-owner=yes"], "measured": ["compression", "138", "psi"],
            "did": ["look-at-plug", "plug-wet-fuel=yes"], "put-back": None, "ran": ["same"], "cannot": ["crankcase-pressure-test"],
            "stripped": ["tank", "seat"], "note": ["äöü \"quoted\" \\ back\nnew line"], "undo": [], "close": ["given-up"],
            "log": ["--job", "1"], "jobs": [], "bikes": [], "add-bike": ["Blue", "--class", CLASS], "bike": ["red-125"],
            "hours": ["red-125", "43"], "renewed": ["red-125", "plug"], "figure": ["red-125", "compression", "170 psi", "--to", "180 psi"],
            "access": ["red-125", "tank", "5", "6"], "settings": ["--hour", "48"], "backup": [str(self.place.dir / "copy.db")],
            "judge": [str(case)], "list": ["faults"], "show": ["reed-chipped"], "check-knowledge": [],
        }
        known = [c["name"] for c in json.loads(self.good("--commands-json")) if c["name"]]
        self.assertEqual(sorted(known), sorted(lines), "a command without a line here")
        for name, args in lines.items():
            if args is None:
                continue
            with self.subTest(command=name):
                out = self.good(name, *args, "--json")
                self.assertIsInstance(json.loads(out), (dict, list))
        with self.subTest(command="put-back"):
            self.place.json("take-in", "red-125", "bogs")
            self.place.json("did", "swap-coil")
            self.assertIsInstance(self.place.json("put-back", "swap-coil"), dict)
        with self.subTest(command=""):
            self.assertIsInstance(self.place.json(), dict)
        for kind in ("classes", "traits", "faults", "findings", "readings", "steps", "parts", "tools", "cautions", "contexts"):
            with self.subTest(list=kind):
                self.assertGreater(len(self.place.json("list", kind)), 3)

    def test_nothing_open_is_json_too(self):
        self.assertIsInstance(self.place.json(), (dict, list))
        self.assertEqual(self.place.json("jobs"), [])
        self.assertEqual(self.place.json("bikes"), [])

    def test_everything_that_is_listed_is_shown(self):
        for kind in ("classes", "traits", "faults", "findings", "readings", "steps", "parts", "tools", "cautions", "contexts"):
            for thing in self.place.json("list", kind)[:2]:
                with self.subTest(thing=thing["id"]):
                    self.assertIn(thing["name"], self.good("show", thing["id"]))

    def test_errors_are_json_on_demand(self):
        result = self.place.run("bike", "red", "--json")
        self.assertEqual(result.code, 2)
        self.assertEqual(json.loads(result.out)["problems"][0]["wrong"], 'no bike is called "red"')
        self.assertIn('no bike is called "red"', result.err)

    def test_help(self):
        self.assertIn("crankwise work", self.good("--help"))
        self.assertEqual(self.good(), self.good("--help"))
        for name in [c["name"] for c in json.loads(self.good("--commands-json")) if c["name"]]:
            self.assertIn(name, self.good(name, "--help"))
            self.assertIn(f"  {name} ", self.good("--help"))
        self.assertRegex(self.good("--version"), r"^crankwise \d+\.\d+\.\d+\n$")


class BadInput(Case):
    """Every command with every kind of bad input: exit code 2, a message on standard error only, nothing changed."""

    def setUp(self):
        super().setUp()
        self.place.json("take-in", self.bike("Red 125", CLASS, "--hours", "42"), "bogs up top")
        self.good("answer", "bogs-up-top=yes")

    def refused(self, *table):
        before = self.good("jobs", "--json") + self.good("bikes", "--json") + self.good("log", "--json") + self.good("settings", "--json")
        for line in table:
            *args, says = line
            with self.subTest(args=args):
                self.bad(*args, says=says)
        after = self.good("jobs", "--json") + self.good("bikes", "--json") + self.good("log", "--json") + self.good("settings", "--json")
        self.assertEqual(after, before)

    def test_commands_and_arguments(self):
        self.refused(
            ("answr", 'perhaps "answer"'), ("paint", "crankwise --help lists them"), ("", "is not a command"), ("--bogus", "--bogus"),
            ("jobs", "extra", "extra"), ("jobs", "--bogus", "--bogus"), ("--job", "x", "jobs", "--job"), ("--job", "jobs", "--job"),
            ("take-in", "bike is required"), ("take-in", "red-125", "words is required"), ("hear", "words is required"),
            ("answer", "answers is required"), ("before", "contexts is required"), ("measured", "reading is required"),
            ("measured", "compression", "value is required"), ("did", "step is required"), ("put-back", "step is required"),
            ("ran", "result is required"), ("cannot", "step is required"), ("note", "words is required"), ("close", "how is required"),
            ("add-bike", "--class", CLASS, "name is required"), ("add-bike", "X", "--class is required"), ("bike", "bike is required"),
            ("hours", "red-125", "hours is required"), ("renewed", "red-125", "part is required"), ("figure", "red-125", "compression", "value"),
            ("access", "red-125", "tank", "5", "on is required"), ("backup", "file is required"), ("judge", "file is required"),
            ("list", "kind is required"), ("show", "id is required"), ("next", "--others", "99", "--others"),
            ("next", "--others", "-1", "--others"), ("suspects", "--count", "0", "--count"), ("suspects", "--count", "x", "--count"))

    def test_names(self):
        self.refused(
            ("take-in", "red-126", "bogs", 'perhaps "red-125"'), ("answer", "bogs-up-tpo=yes", 'perhaps "bogs-up-top"'),
            ("answer", "bogs-up-top=maybe", "yes"), ("answer", "bogs-up-top", "finding=yes"), ("answer", "=yes", "finding"),
            ("answer", "blubbers=yes", "bogs-up-tpo=yes", 'perhaps "bogs-up-top"'), ("answer", "pump-filter-dirty-seen=yes", "does not apply to this bike"),
            ("before", "new-ownr=yes", 'perhaps "new-owner"'), ("before", "new-owner=unsure", "only be yes or no"),
            ("measured", "compresion", "3 psi", 'perhaps "compression"'), ("measured", "fuel-pressure", "300 kPa", "does not apply"),
            ("did", "fit-new-plg", 'perhaps "fit-new-plug"'), ("did", "fit-new-pump-filter", "does not apply to this bike"),
            ("did", "look-at-plug", "plug-wet-feul=yes", 'perhaps "plug-wet-fuel"'), ("put-back", "look-at-plug", "swap or replace"),
            ("put-back", "swap-coyl", 'perhaps "swap-coil"'), ("put-back", "clean-plug", "swap or replace"),
            ("ran", "fine", "gone, better or same"), ("ran", "same", "--step", "run-rid", 'perhaps "run-ride"'),
            ("ran", "same", "--step", "look-at-plug", "is not a run"), ("cannot", "fit-new-plg", 'perhaps "fit-new-plug"'),
            ("cannot", "fit-new-pump-filter", "does not apply to this bike"), ("stripped", "tnak", 'perhaps "tank"'),
            ("stripped", "fuel-pump", "does not apply"), ("why", "reed-chiped", 'perhaps "reed-chipped"'), ("why", "pump-weak", "does not apply"),
            ("close", "maybe", "proven, not-proven or given-up"), ("close", "proven", "not proven yet"),
            ("close", "not-proven", "--cause", "reed-chiped", 'perhaps "reed-chipped"'), ("log", "--job", "9", "there is no job 9"),
            ("log", "--job", "0", "there is no job 0"), ("log", "--job", "-1", "-1"), ("bike", "red", "no bike is called"),
            ("add-bike", "X", "--class", "motocross-125", "no class is called"),
            ("add-bike", "X", "--class", CLASS, "--with", "kick-strat", 'perhaps "kick-start"'),
            ("add-bike", "X", "--class", CLASS, "--without", "reed-vlave", 'perhaps "reed-valve"'),
            ("add-bike", "X", "--class", CLASS, "--with", "four-stroke", "more than one of cycle"),
            ("add-bike", "X", "--class", CLASS, "--without", "carburettor", "nothing of fuelling"), ("add-bike", "", "--class", CLASS, "name"),
            ("renewed", "red-125", "plgu", 'perhaps "plug"'), ("figure", "red-125", "compresion", "170 psi", 'perhaps "compression"'),
            ("access", "red-125", "tnak", "1", "1", 'perhaps "tank"'), ("settings", "--lacks", "multimetre", 'perhaps "multimeter"'),
            ("settings", "--has", "multimetre", 'perhaps "multimeter"'), ("list", "fault", 'perhaps "faults"'), ("show", "reed-chiped", 'perhaps "reed-chipped"'),
            ("hear", "bogs", "--bike", "red-126", 'perhaps "red-125"'))

    def test_values(self):
        self.refused(
            ("measured", "compression", "138", "with its unit"), ("measured", "compression", "138 kohm", "does not measure it"),
            ("measured", "compression", "-5 psi", "cannot be"), ("measured", "compression", "a lot", "with its unit"),
            ("measured", "compression", "inf psi", "with its unit"), ("measured", "compression", "1e999 psi", "with its unit"),
            ("hours", "red-125", "41", "run backwards"), ("hours", "red-125", "-5", "0 or more"), ("hours", "red-125", "x", "hours"),
            ("hours", "red-125", "nan", "0 or more"), ("hours", "red-125", "1e9", "hours"), ("renewed", "red-125", "plug", "--at", "99", "has 42 h"),
            ("renewed", "red-125", "plug", "--at", "-5", "42"), ("renewed", "red-125", "plug", "--at", "nan", ""),
            ("figure", "red-125", "compression", "170", "with its unit"), ("figure", "red-125", "compression", "170 mm", "not a unit for it"),
            ("figure", "red-125", "compression", "170 psi", "--to", "160 psi", "not a range"),
            ("figure", "red-125", "compression", "170 psi", "--to", "3 mm", "do not fit"), ("figure", "red-125", "compression", "0 psi", "above 0"),
            ("access", "red-125", "tank", "-1", "5", "below 0"), ("access", "red-125", "tank", "x", "5", "off"), ("access", "red-125", "tank", "nan", "5", ""),
            ("settings", "--hour", "-5", "above 0"), ("settings", "--hour", "0", "above 0"), ("settings", "--hour", "nan", "above 0"),
            ("add-bike", "X", "--class", CLASS, "--hours", "-1", "--hours"), ("add-bike", "X", "--class", CLASS, "--hours", "nan", "hours"),
            ("add-bike", "X", "--class", CLASS, "--cc", "5", "--cc"), ("take-in", "red-125", "  ", "complaint is empty"))

    def test_text_that_is_not_utf8(self):
        latin = b"h\xe4ngt"
        self.refused(("note", latin, ""), ("take-in", "red-125", latin, ""), ("add-bike", latin, "--class", CLASS, ""),
                     ("cannot", "fit-new-plug", "--because", latin, ""), ("close", "given-up", "--words", latin, ""),
                     ("settings", "--currency", latin, ""), ("answer", latin + b"=yes", ""), ("bike", latin, ""))

    def test_not_utf8_for_programs(self):
        for args in ((b"bike", b"h\xe4ngt"), (b"judge", b"h\xe4ngt"), (b"note", b"h\xe4ngt")):
            result = self.place.run(*args, "--json")
            self.assertEqual(result.code, 2, result.err)
            self.assertNotIn("exception", result.err)

    def test_many_problems_are_all_said(self):
        err = self.bad("answer", "a-a=yes", "bogs-up-tpo=no", "q=no")
        self.assertEqual(len(err.strip().split("\n")), 3, err)


class Places(Case):
    """Shop files and knowledge that are not what they should be."""

    def setUp(self):
        super().setUp()
        self.place.json("take-in", self.bike(), "bogs up top")
        self.good("answer", "bogs-up-top=yes")
        self.good("note", "kept")
        self.kept = self.good("log", "--json")

    def untouched(self, path, *commands, says):
        bytes_before = path.read_bytes()
        for command in commands:
            with self.subTest(command=command):
                err = self.bad(*command, "--shop", str(path), says=[str(path), *([says] if isinstance(says, str) else says)])
                self.assertIn("right would be: ", err)
                self.assertEqual(path.read_bytes(), bytes_before, "the file was changed")

    COMMANDS = (("jobs",), ("log",), ("note", "x"), ("work",), ("add-bike", "X", "--class", CLASS))

    def test_a_shop_that_is_no_shop(self):
        text = self.place.dir / "letter.txt"
        text.write_text("Dear mechanic,\n" * 500)
        self.untouched(text, *self.COMMANDS, says="not a crankwise file")
        one = self.place.dir / "one"
        one.write_bytes(b"x")
        self.untouched(one, *self.COMMANDS, says="not a crankwise file")
        foreign = self.place.dir / "foreign.db"
        with contextlib.closing(sqlite3.connect(foreign)) as db:
            db.execute("CREATE TABLE recipes (name TEXT)")
            db.commit()
        self.untouched(foreign, *self.COMMANDS, says="belongs to another program")
        self.bad("jobs", "--shop", str(self.place.dir), says="this is a folder")
        self.bad("jobs", "--shop", "/dev/null", says="not a plain file")
        self.bad("jobs", "--shop", str(text / "shop.db"), says="")

    def test_a_newer_shop(self):
        with contextlib.closing(sqlite3.connect(self.place.shop)) as db:
            db.execute("PRAGMA user_version = 99")
            db.commit()
        self.untouched(self.place.shop, *self.COMMANDS, says="newer crankwise")

    def test_a_corrupt_shop(self):
        whole = self.place.shop.read_bytes()
        rng = random.Random(3)
        refused = 0
        for round_ in range(24):
            data = bytearray(whole)
            if round_ % 3 == 0:
                del data[rng.randrange(100, len(data)):]
            else:
                start = rng.randrange(100 if round_ % 3 == 1 else 0, len(data) - 64)
                data[start:start + 64] = rng.randbytes(64)
            broken = self.place.dir / f"broken-{round_}.db"
            broken.write_bytes(data)
            result = self.place.run("log", "--json", "--shop", str(broken))
            self.assertIn(result.code, (0, 2), f"round {round_}: {result.err}")
            if result.code == 2:
                refused += 1
                self.assertNotIn("exception", result.err, f"round {round_}")
                self.assertIn("right would be: ", result.err)
            elif len(data) == len(whole):  # what is read nevertheless must be all of it
                self.assertEqual(result.out, self.kept, f"round {round_}")
        self.assertGreater(refused, 8)

    def test_an_empty_file_is_a_new_shop(self):
        empty = self.place.dir / "empty.db"
        empty.touch()
        self.assertEqual(self.place.json("jobs", "--shop", str(empty)), [])

    def test_a_locked_shop(self):
        with contextlib.closing(sqlite3.connect(self.place.shop, isolation_level=None)) as db:
            db.execute("BEGIN IMMEDIATE")
            started = time.time()
            self.bad("note", "x", says=["another program is writing", "nothing of this entry was kept"])
            self.assertLess(time.time() - started, 30)
            self.assertEqual(self.good("log", "--json"), self.kept, "reading goes on meanwhile")
            db.execute("ROLLBACK")
        self.good("note", "x")
        with contextlib.closing(sqlite3.connect(self.place.shop, isolation_level=None)) as db:
            db.execute("PRAGMA locking_mode = EXCLUSIVE")
            db.execute("BEGIN EXCLUSIVE")
            self.bad("log", says=[str(self.place.shop)])

    @contextlib.contextmanager
    def without_rights(self):
        """For root a user without rights runs the program, since nothing is forbidden to root."""
        if os.geteuid() != 0:
            yield {}
            return
        path = pathlib.Path(BINARY)
        if not all(os.stat(p).st_mode & 1 for p in [path, *path.parents]):
            self.skipTest("another user cannot reach the program")
        for p in [self.place.dir, *self.place.dir.rglob("*")]:
            os.chmod(p, 0o755 if p.is_dir() else 0o644)
        yield {"user": NOBODY, "group": NOBODY, "extra_groups": []}

    def test_a_read_only_folder(self):
        with self.without_rights() as more:
            folder = self.place.shop.parent
            os.chmod(folder, 0o555)
            try:
                self.bad("note", "x", says=[str(self.place.shop), "right would be: "], **more)
                self.bad("add-bike", "X", "--class", CLASS, "--shop", str(folder / "new.db"), says="new.db", **more)
                self.bad("add-bike", "X", "--class", CLASS, "--shop", str(folder / "deeper/new.db"), says="deeper", **more)
                self.bad("backup", str(folder / "copy.db"), says="right would be: ", **more)
            finally:
                os.chmod(folder, 0o755)
        self.assertEqual(self.good("log", "--json"), self.kept)

    def test_a_read_only_file(self):
        with self.without_rights() as more:
            os.chmod(self.place.shop, 0o444)
            os.chmod(self.place.shop.parent, 0o777)
            self.bad("note", "x", says=[str(self.place.shop), "cannot be written"], **more)
            os.chmod(self.place.shop, 0o000)
            self.bad("log", says=str(self.place.shop), **more)
            os.chmod(self.place.shop, 0o644)
            os.chmod(self.place.shop.parent, 0o755)
        self.assertEqual(self.good("log", "--json"), self.kept)

    def test_no_home(self):
        env = {k: v for k, v in self.place.env.items() if k not in ("HOME", "XDG_DATA_HOME")}
        done = subprocess.run([BINARY, "jobs"], env=env, capture_output=True, text=True)
        self.assertEqual(done.returncode, 2)
        self.assertIn("HOME: is not set", done.stderr)

    def test_a_relative_xdg_place_is_ignored(self):
        self.good("settings", "--hour", "60", env={"XDG_DATA_HOME": "relative"}, cwd=self.place.dir)
        self.assertFalse((self.place.dir / "relative").exists())
        self.assertTrue((self.place.home / ".local/share/crankwise/shop.db").exists())

    def test_knowledge_that_cannot_be_read(self):
        self.bad("next", "--knowledge", str(self.place.dir / "none"), says="none: cannot be read")
        self.bad("next", "--knowledge", str(self.place.home), says="holds no .toml file")
        folder = self.place.dir / "knowledge"
        shutil.copytree(ROOT / "knowledge", folder)
        self.good("check-knowledge", "--knowledge", str(folder))
        (folder / "odd.toml").write_text('source = "from memory"\n[fault.odd]\nname = "odd"\npart = "odd"\nshare = -3\n'
                                         'cuases = { bogs-up-top = "often" }\n[finding.odd-too]\nshort = "x"\nask = 7\n')
        err = self.bad("check-knowledge", "--knowledge", str(folder), says=["odd.toml:5: fault.odd.share", "odd.toml:6: fault.odd.cuases",
                                                                            'perhaps "causes"', "odd.toml:9: finding.odd-too.ask"])
        self.assertGreaterEqual(len(err.strip().split("\n")), 3)
        (folder / "odd.toml").write_text('source = "from memory"\n' + "".join(
            f'[part.extra-{i}]\nname = "extra {i}"\noff_min = 1\non_min = 1\n' for i in range(70)))
        self.bad("check-knowledge", "--knowledge", str(folder), says="64")
        (folder / "odd.toml").write_text("[fault.odd\n")
        self.bad("jobs", "--knowledge", str(folder), says="odd.toml:1: ")
        self.assertEqual(self.good("log", "--json"), self.kept)

    def test_a_full_disk(self):
        user = [] if os.geteuid() == 0 else ["--map-root-user"]
        script = f"mount -t tmpfs -o size=300k none {self.place.home} && exec {sys.executable} -B {__file__} {ROOT} --on-a-small-disk {self.place.home}"
        if not shutil.which("unshare") or subprocess.run(["unshare", "--mount", *user, "mount", "-t", "tmpfs", "none", str(self.place.home)],
                                                         capture_output=True).returncode != 0:
            self.skipTest("this system does not allow mounting")
        done = subprocess.run(["unshare", "--mount", *user, "sh", "-c", script], env=dict(os.environ, CRANKWISE_BINARY=BINARY),
                              capture_output=True, text=True, timeout=300)
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)


def on_a_small_disk(home):
    """Within a mount of its own: fills the disk by notes; what was acknowledged stays, the rest is refused."""
    place = Place()
    place.close()
    place.env.update(HOME=home, XDG_DATA_HOME=home + "/data")
    place.good("add-bike", "Red", "--class", CLASS)
    place.good("take-in", "red", "bogs up top")
    noted, refused = [], 0
    for i in range(200):
        words = f"note {i} " + "x" * (9000 if refused == 0 else 3000)
        result = place.run("note", words)
        if result.code == 0:
            noted.append(words)
            continue
        assert result.code == 2 and "disk full" in result.err and "right would be: " in result.err, result.err
        assert "nothing of this entry was kept" in result.err or "was not opened" in result.err, result.err
        refused += 1
        if refused == 5:
            break
    assert refused == 5 and len(noted) > 3, (refused, len(noted))
    data = pathlib.Path(home) / "data/crankwise"
    copy = pathlib.Path(tempfile.mkdtemp())  # beside the small disk
    for path in data.iterdir():
        shutil.copy(path, copy)
    kept = [e["data"]["text"] for e in place.json("log", "--shop", str(copy / "shop.db"))["entries"]]
    shutil.rmtree(copy)
    assert kept == noted, (len(kept), len(noted))


class Kill(Case):
    """kill -9 at random moments: what was acknowledged is there, and the shop opens clean."""

    ROUNDS = 30

    def start(self, args):
        """On a terminal of its own, so that "noted:" is out as soon as it is said."""
        leader, follower = pty.openpty()
        process = subprocess.Popen([BINARY, *args], env=self.place.env, stdin=subprocess.DEVNULL, stdout=follower, stderr=subprocess.STDOUT)
        os.close(follower)
        return process, leader

    def hear(self, leader, until, stop=None):
        """What it says until then, or until it says `stop`, or ends."""
        said = b""
        while (left := until - time.time()) > 0:
            ready, _, _ = select.select([leader], [], [], left)
            if not ready:
                break
            try:
                piece = os.read(leader, 4096)
            except OSError:
                break
            if not piece:
                break
            said += piece
            if stop and stop in said:
                break
        return said

    def test_nothing_acknowledged_is_lost(self):
        traits = KNOWLEDGE["class"][CLASS]["traits"]
        self.place.json("take-in", self.bike(), "bogs up top")
        started = time.time()
        self.good("note", "how long it takes")
        usual = time.time() - started
        rng = random.Random(int(os.environ.get("CRANKWISE_SEED", "1")))
        findings = ids_of("finding", traits)
        rng.shuffle(findings)  # each is used once
        steps = [s for s in ids_of("step", traits) if KNOWLEDGE["step"][s]["kind"] in ("clean", "adjust")]
        promised = [("noted", "how long it takes")]
        killed = killed_after = refused = 0
        for round_ in range(self.ROUNDS):
            todo = []
            for n in range(1 if round_ % 3 else 3):
                kind = rng.choice(("note", "answer", "did"))
                if kind == "note":
                    words = f"round {round_} {n}"
                    todo.append((["note", words], [("noted", words)]))
                elif kind == "answer":
                    chosen = [findings.pop(), findings.pop()]
                    todo.append((["answer", *(f + "=unsure" for f in chosen)], [("answered", f) for f in chosen]))
                else:
                    step = rng.choice(steps)
                    todo.append((["did", step], [("did", step)]))
            running = [(*self.start(args), expected) for args, expected in todo]
            at_once = rng.random() < 0.3  # as soon as it has acknowledged
            until = time.time() + (30 if at_once else rng.uniform(0.1, 1.3) * usual)
            for process, leader, expected in running:
                said = self.hear(leader, until, b"noted:" if at_once else None)
                ended = process.poll() is not None
                with contextlib.suppress(ProcessLookupError):
                    process.send_signal(signal.SIGKILL)
                process.wait()
                said += self.hear(leader, time.time() + 0.2)
                os.close(leader)
                if b"noted:" in said:
                    promised += expected
                    killed_after += not ended
                elif ended and process.returncode == 2:
                    refused += 1
                    self.assertRegex(said, rb"another program|nothing of this entry")
                else:
                    killed += 1
            kept = [(e["kind"], next(iter(e["data"][k] for k in ("text", "finding", "step") if k in e["data"]))) for e in self.entries()]
            missing = list(promised)
            for entry in kept:
                if entry in missing:
                    missing.remove(entry)
            self.assertEqual(missing, [], f"lost in round {round_}")
            # An act is there whole or not at all.
            pairs = [[e for e in kept if e in expected] for _, _, expected in running]
            for (_, _, expected), found in zip(running, pairs):
                self.assertIn(len(set(found)), (0, len(set(expected))), f"half an act in round {round_}")
        self.assertGreater(killed, 3, "no process was killed in time")
        self.assertGreater(killed_after, 3, "no process was killed after its promise")
        self.assertGreater(len(promised), 10)
        with contextlib.closing(sqlite3.connect(self.place.shop)) as db:
            self.assertEqual(db.execute("PRAGMA integrity_check").fetchall(), [("ok",)])
        self.good("note", "and on")

    def test_killed_while_the_first_file_is_made(self):
        for round_ in range(25):
            place = Place()
            process = subprocess.Popen([BINARY, "add-bike", "Red", "--class", CLASS], env=place.env, stdout=subprocess.PIPE)
            time.sleep(0.004 * round_)
            process.send_signal(signal.SIGKILL)
            out = process.communicate()[0]
            bikes = place.json("bikes")
            if b"is entered" in out:
                self.assertEqual(len(bikes), 1)
            self.assertLessEqual(len(bikes), 1)
            place.good("add-bike", "Blue", "--class", CLASS)
            place.close()

    def test_killed_while_working(self):
        self.bike()
        for _ in range(5):
            talk = Dialogue(self.place)
            if "Which bike?" in talk.said:
                talk.say("1")
                talk.say("bogs up top")
            for _ in range(4):
                talk.say("n")
            kept = self.facts()
            talk.process.send_signal(signal.SIGKILL)
            talk.process.wait()
            talk.end()
            self.assertEqual(self.facts(), kept)


if __name__ == "__main__":
    if len(sys.argv) > 3 and sys.argv[2] == "--on-a-small-disk":
        on_a_small_disk(sys.argv[3])
    else:
        unittest.main(argv=[sys.argv[0], *sys.argv[2:]])
