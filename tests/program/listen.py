"""Recordings: what is heard of them, what a job takes of it, what is refused."""
import json
import math
import pathlib
import random
import struct
import tempfile
import wave
import xml.etree.ElementTree

from place import CLASS, Case


def engine(path, rpm, seconds, rate=16000, cut_above=None):
    """A two-stroke as a wav: a pulse each turn through a resonance, a little noise; rpm is a function of time. Above
    cut_above three firings in ten are left out, in a row."""
    dice = random.Random(7)
    samples, phase, turn, one, two = [], 0.0, 0, 0.0, 0.0
    for i in range(int(seconds * rate)):
        speed = rpm(i / rate)
        phase += speed / 60 / rate
        kick = dice.gauss(0, 0.02)
        if phase >= 1:
            phase -= 1
            turn += 1
            if cut_above is None or speed < cut_above or turn % 10 > 2:
                kick += 1 + dice.gauss(0, 0.1)
        value = kick + 1.75 * one - 0.85 * two
        one, two = value, one
        samples.append(value)
    top = max(abs(v) for v in samples)
    with wave.open(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(rate)
        out.writeframes(b"".join(struct.pack("<h", int(26000 * v / top)) for v in samples))
    return str(path)


def recording():
    """The bytes of one."""
    with tempfile.TemporaryDirectory() as folder:
        return pathlib.Path(engine(pathlib.Path(folder) / "take.wav", hold(9000), 6.5)).read_bytes()


def hold(top):
    """Idle at 1700, up within 0.8 s, held for two seconds, shut."""
    def rpm(t):
        if t < 1.5:
            return 1700 + 20 * math.sin(3 * t)
        if t < 2.3:
            return 1700 + (top - 1700) * (t - 1.5) / 0.8
        if t < 4.3:
            return top + 25 * math.sin(5 * t)
        return 1700 + (top - 1700) * math.exp(-(t - 4.3) / 0.25)
    return rpm


class Listen(Case):
    def take(self, name="take.wav", top=9000, **more):
        return engine(self.place.dir / name, hold(top), 6.5, **more)

    def test_of_a_bike_in_no_shop(self):
        file = self.take()
        before = self.place.files()
        told = json.loads(self.good("listen", file, "--cycle", "two-stroke", "--json"))
        self.assertAlmostEqual(told["idle"]["rpm"]["value"], 1700, delta=50)
        self.assertAlmostEqual(told["ceiling"]["rpm"]["value"], 9000, delta=135)
        self.assertEqual(told["ceiling"]["shape"], "flattening")
        self.assertEqual(told["of"], "hold")
        self.assertTrue(told["octave"]["settled"])
        self.assertNotIn("readings", told)
        speeds = {round(x["s"], 1): x["rpm"] for x in told["speed"]}
        self.assertAlmostEqual(speeds[3.3], 9000, delta=150)
        text = " ".join(self.good("listen", file, "--cycle", "two-stroke").split())
        for part in ("idle", "ceiling", "flattens out and fires on"):
            self.assertIn(part, text)
        self.assertEqual(self.place.files(), before, "nothing is written")

    def test_readings_are_proposed_and_then_entered(self):
        self.place.json("take-in", self.bike("Red 125", CLASS), "flat on top")
        file = self.take(top=7200)
        before = self.place.json("suspects")
        text = self.good("listen", file)
        self.assertIn("Nothing is written down yet", text)
        self.assertEqual(self.place.json("suspects"), before)
        self.good("listen", file, "--enter")
        entries = self.entries()
        self.assertIn("did", [e["kind"] for e in entries])
        measured = {e["data"]["reading"]: e["data"] for e in entries if e["kind"] == "measured"}
        self.assertAlmostEqual(measured["neutral-ceiling"]["value"], 7200, delta=110)
        self.assertIn("give-or-take", json.dumps(measured["soft-ceiling"]))
        self.assertNotEqual(self.place.json("suspects"), before)
        self.good("undo")
        self.assertEqual(self.place.json("suspects"), before)

    def test_before_and_after_with_a_picture(self):
        low, high = self.take("low.wav", 8300), self.take("high.wav", 11200)
        picture = self.place.dir / "both.svg"
        text = " ".join(self.good("listen", high, "--before", low, "--cycle", "two-stroke", "--picture", str(picture)).split())
        self.assertIn("the rev ceiling rose from 8,3", text)
        self.assertTrue(xml.etree.ElementTree.parse(picture).getroot().tag.endswith("svg"))
        single = self.place.dir / "one.svg"
        self.good("listen", high, "--cycle", "two-stroke", "--picture", str(single))
        self.assertIn("data:image/png;base64,", single.read_text())
        xml.etree.ElementTree.parse(single)
        told = json.loads(self.good("listen", high, "--before", low, "--cycle", "two-stroke", "--json"))
        rise = next(c for c in told["changes"] if "ceiling" in c["words"])
        self.assertTrue(rise["real"])

    def test_a_cut_is_told_from_a_soft_top(self):
        told = json.loads(self.good("listen", self.take(top=10200, cut_above=10000), "--cycle", "two-stroke", "--json"))
        self.assertEqual(told["ceiling"]["shape"], "hard-cut")

    def test_bad_input(self):
        two = ("--cycle", "two-stroke")
        notes = self.place.dir / "notes.txt"
        notes.write_text("not a recording\n" * 50)
        self.bad("listen", str(notes), *two, says="notes.txt")
        self.bad("listen", str(self.place.dir / "none.m4a"), *two, says="none.m4a")
        self.bad("listen", str(self.place.dir), *two)
        self.bad("listen", engine(self.place.dir / "short.wav", lambda t: 3000, 0.2), *two, says="0.20 s long")
        self.bad("listen", engine(self.place.dir / "quiet.wav", lambda t: 0, 4), *two, says="no engine is heard")
        cut = self.place.dir / "cut.wav"
        take = self.take()
        with open(take, "rb") as whole:
            cut.write_bytes(whole.read()[:60])
        self.bad("listen", str(cut), *two)
        self.bad("listen", take, says="--cycle")
        self.bad("listen", take, *two, "--idle", "90", says="90 rpm is no idle")
        self.bad("listen", take, *two, "--ceiling", "1800")
        self.bad("listen", take, *two, "--pull", "primary=2.8:1", "gear=1:1", "front=14", "rear=48", "mass=9000 kg", says="mass")
        self.bad("listen", take, *two, "--enter")
        bike = self.bike("Red 125", CLASS)
        self.bad("listen", take, "--bike", bike, "--cycle", "four-stroke", says="is no four-stroke")
