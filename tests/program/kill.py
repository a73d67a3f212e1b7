"""Killed at any moment."""
import contextlib
import os
import pty
import random
import select
import signal
import sqlite3
import subprocess
import time

from place import BINARY, CLASS, KNOWLEDGE, Case, Dialogue, Place, ids_of


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
            acts = []
            for n in range(1 if round_ % 3 else 3):
                kind = rng.choice(("note", "answer", "did"))
                if kind == "note":
                    words = f"round {round_} {n}"
                    acts.append((["note", words], [("noted", words)]))
                elif kind == "answer":
                    chosen = [findings.pop(), findings.pop()]
                    acts.append((["answer", *(f + "=unsure" for f in chosen)], [("answered", f) for f in chosen]))
                else:
                    step = rng.choice(steps)
                    acts.append((["did", step], [("did", step)]))
            running = [(*self.start(args), expected) for args, expected in acts]
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
