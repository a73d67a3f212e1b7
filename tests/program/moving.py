"""Shops moved in and out, judged by other readers of JSON, its schemas and CSV."""
import contextlib
import csv
import io
import json
import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
import unittest

from place import BINARY, CLASS, ROOT, Case, Place
from sheet import png

try:
    import jsonschema
except ImportError:
    jsonschema = None

SCHEMA = json.loads((ROOT / "docs/shop-file.schema.json").read_text())


class Moving(Case):
    def setUp(self):
        super().setUp()
        self.other = Place()
        self.addCleanup(self.other.close)
        self.file = self.place.dir / "shop.json"

    def shop(self):
        """With every kind of entry."""
        self.good("settings", "--hour", "50", "--currency", "crowns, gold", "--lacks", "leak-down-tester")
        bike = self.bike("Red 125", CLASS, "--hours", "38.25")
        self.good("figure", bike, "compression", "170 psi", "--to", "180 psi", "--baseline")
        self.good("figure", bike, "stroke", "54.5 mm")
        self.good("figure", bike, "coolant-sensor", "20 degC=2.45 kohm", "80 degC=0.32 kohm")
        self.good("settings", "--usual", "height=600 m", "--usual", "hose=3 cm3")
        self.good("access", bike, "tank", "4", "5")
        self.good("renewed", bike, "piston", "--at", "14")
        self.good("hours", bike, "40")
        self.good("ridden", bike, "90 min")
        self.good("hours", bike, "70")
        self.good("undo", "--bike", bike)
        self.good("interval", bike, "plug", "25 h")
        self.good("use", bike, "hard")
        self.good("take-in", bike, 'bogs "up top", =1+1\nand more')
        self.good("answer", "bogs-up-top=yes", "blubbers=unsure")
        self.good("before", "stood-over-a-month=yes")
        self.good("measured", "compression", "160 psi")
        self.good("measured", "source-resistance", "open")
        self.good("did", "fit-new-plug")
        self.good("ran", "same")
        self.good("did", "swap-coil")
        self.good("put-back", "swap-coil")
        self.good("cannot", "leak-down-test", "--because", "no tester")
        self.good("stripped", "seat")
        self.good("note", "h\u00e4ngt, \"sagt er\"")
        self.good("undo")
        picture = self.place.dir / "p.png"
        picture.write_bytes(png())
        self.good("photo", str(picture), "--caption", "the jet")
        self.good("close", "given-up", "--cause", "main-jet-blocked", "--words", "=SUM(A1)")
        self.good("take-in", bike, "bogs again")
        self.good("did", "main-jet-clean", "--took", "30", "--paid", "2")
        for _ in range(8):
            self.good("ran", "gone")
        self.good("close", "proven", "--cause", "main-jet-blocked")
        self.good("lesson", "2", "leave-out")
        return bike

    @unittest.skipUnless(jsonschema, "python3-jsonschema is not installed")
    def test_exports_are_as_the_schema_says(self):
        self.shop()
        check = jsonschema.Draft202012Validator(SCHEMA)
        jsonschema.Draft202012Validator.check_schema(SCHEMA)
        self.good("export", self.file)
        whole = json.loads(self.file.read_text())
        check.validate(whole)
        check.validate(json.loads(self.good("export", "-", "--bike", "red-125")))
        check.validate(json.loads(self.good("export", "-", "--demo")))
        self.other.good("add-bike", "Red 125", "--class", CLASS)
        self.other.good("import", self.file, "--same", "red-125=red-125")
        merged = json.loads(self.other.good("export", "-"))
        check.validate(merged)
        # All kinds of entry but "not-meant" (which only the step-by-step mode writes) were there.
        known = {kind["properties"]["kind"]["const"] for name in ("settings", "bike_events", "job_events")
                 for kind in SCHEMA["$defs"][name]["items"]["allOf"][1]["oneOf"]}
        seen = {e["kind"] for r in [*merged["bikes"], *merged["jobs"], {"events": whole["settings"]}] for e in r["events"]}
        self.assertEqual(known - seen, {"not-meant"})
        # What the schema refuses, the program refuses, and the other way round.
        rng = random.Random(1)
        refused = 0
        for _ in range(60):
            spoilt = json.loads(json.dumps(whole))
            where = rng.choice([spoilt, rng.choice(spoilt["bikes"] + spoilt["jobs"]),
                                rng.choice(rng.choice(spoilt["bikes"] + spoilt["jobs"])["events"])])
            if "data" in where and rng.random() < 0.7:
                where = where["data"]
            key = rng.choice(sorted(where))
            if rng.random() < 0.3:
                where[key + "x"] = where.pop(key)
            else:
                where[key] = rng.choice([None, -1, 3.5, "", "x", [], {}, True, [1], 1e12])
            by_schema = not check.is_valid(spoilt)
            result = self.other.run("import", "-", "--dry-run", "--shop", str(self.other.dir / "new.db"), text=json.dumps(spoilt))
            if by_schema:
                refused += 1
                self.assertEqual(result.code, 2, f"{key}: {where}\n{result.out}")
            self.assertIn(result.code, (0, 2))
            self.assertNotIn("exception", result.err)
        self.assertGreater(refused, 30)

    def test_nothing_is_lost_on_the_way(self):
        bike = self.shop()
        self.good("export", self.file)
        said = self.other.good("import", self.file)
        self.assertIn("added", said)
        for args in (("log", "--job", "1"), ("bikes",), ("jobs",), ("settings",)):
            self.assertEqual(self.other.json(*args), self.place.json(*args), args)
        self.assertIn("nothing new", self.other.good("import", self.file))
        self.assertEqual(self.place.json("bike", bike), self.other.json("bike", bike))

    def test_dry_run_changes_nothing(self):
        self.shop()
        self.good("export", self.file)
        files = self.other.files()
        said = self.other.good("import", self.file, "--dry-run")
        self.assertIn("would add", said)
        self.assertEqual(self.other.files(), files)
        told = self.other.json("import", self.file, "--dry-run", "--shop", str(self.other.dir / "no.db"))
        self.assertTrue(told["dry_run"])
        self.assertEqual(self.other.files(), files)
        self.assertEqual(self.other.json("import", self.file)["added"], told["added"])
        before = self.other.files()
        self.bike("Green 125")
        self.good("export", self.file, "--replace")
        self.other.good("import", self.file, "--dry-run")
        self.assertEqual({k: v for k, v in self.other.files().items() if not k.endswith(("-wal", "-shm"))},
                         {k: v for k, v in before.items() if not k.endswith(("-wal", "-shm"))})

    def test_bad_files_change_nothing(self):
        self.shop()
        self.good("export", self.file)
        text = self.file.read_text()
        before = self.good("jobs", "--json") + self.good("bikes", "--json")
        for name, spoilt, says in (
                ("half", text[:len(text) // 2], "is not JSON (column"),
                ("newer", text.replace('"crankwise_shop": 1', '"crankwise_shop": 7'), "newer crankwise (format 7"),
                ("fault", text.replace("main-jet-blocked", "main-jet-bloked"), 'perhaps "main-jet-blocked"'),
                ("hours", text.replace('{"hours":40.0,', '{"hours":3,'), "run backwards"),
                ("case", '{"crankwise_case": 1}', "crankwise_shop"), ("empty", "", "is not JSON")):
            path = self.place.dir / name
            path.write_text(spoilt)
            self.bad("import", str(path), says=says)
            self.bad("import", str(path), "--dry-run", says=says)
        self.bad("import", str(self.place.dir / "none"), says="no such file")
        self.bad("import", str(self.place.dir), says="is a folder")
        self.bad("import", self.file, "--same", "red-125", says="THEIRS=OURS")
        self.bad("export", self.file, says="already")
        self.bad("export", str(self.place.dir / "x.json"), "--bike", "red-126", says='perhaps "red-125"')
        self.bad("csv", "job", says="jobs or hours")
        self.other.run("export", str(self.place.dir / "y.json"))
        self.assertFalse((self.place.dir / "y.json").exists())
        self.assertEqual(self.good("jobs", "--json") + self.good("bikes", "--json"), before)

    def test_tables(self):
        self.shop()
        table = subprocess.run([BINARY, "csv", "jobs"], env=self.place.env, capture_output=True, check=True).stdout
        self.assertEqual(table.count(b"\r\n"), 3)
        rows = list(csv.DictReader(io.StringIO(table.decode(), newline=""), strict=True))
        self.assertEqual(len(rows), 2)
        job = self.place.json("jobs")[0]
        self.assertEqual(rows[0]["complaint"], job["complaint"])
        self.assertEqual(rows[0]["words"], "'=SUM(A1)")
        self.assertEqual((rows[0]["bike"], rows[0]["end"], rows[0]["causes"], rows[0]["hours"]),
                         ("red-125", "given-up", "main-jet-blocked", "41.5"))
        self.assertEqual(rows[0]["entries"], str(len(self.entries(1))))
        hours = list(csv.DictReader(io.StringIO(self.good("csv", "hours")), strict=True))
        self.assertEqual([(r["what"], r["part"], r["hours"], r["job"]) for r in hours],
                         [("meter", "", "38.25", ""), ("renewed", "piston", "14", ""), ("meter", "", "40", ""),
                          ("estimate", "", "41.5", ""), ("renewed", "plug", "41.5", "1")])
        target = self.place.dir / "t.csv"
        self.good("csv", "jobs", str(target))
        self.assertEqual(target.read_bytes(), table)

    def test_killed_while_taking_over(self):
        """All of it or nothing, and what was there before stays."""
        for n in range(12):
            self.place.json("take-in", self.bike(f"Bike {n}"), "bogs")
            self.good("answer", "bogs-up-top=yes", "blubbers=no")
        self.good("export", self.file)
        self.other.good("add-bike", "Mine", "--class", CLASS)
        started = time.time()
        self.other.good("import", self.file, "--dry-run")
        usual = time.time() - started
        rng = random.Random(int(os.environ.get("CRANKWISE_SEED", "1")))
        whole = nothing = 0
        for _ in range(40):
            place = Place()
            place.good("add-bike", "Mine", "--class", CLASS)
            process = subprocess.Popen([BINARY, "import", self.file], env=place.env, stdout=subprocess.PIPE)
            time.sleep(rng.uniform(0.2, 1.6) * usual)
            process.send_signal(signal.SIGKILL)
            said = process.communicate()[0]
            bikes = len(place.json("bikes"))
            self.assertIn(bikes, (1, 13))
            self.assertEqual(len(place.json("jobs")), bikes - 1)
            if b"added" in said:
                self.assertEqual(bikes, 13)
            whole += bikes == 13
            nothing += bikes == 1
            place.good("import", self.file)
            self.assertEqual(len(place.json("bikes")), 13)
            place.close()
        self.assertGreater(nothing, 2, "no process was killed in time")
        self.assertGreater(whole, 2, "no process came to its end")

    def test_backup_while_another_writes(self):
        """It opens, and holds all that was acknowledged before it began; so does an export."""
        self.place.json("take-in", self.bike(), "bogs")
        loop = ("import subprocess, sys\nn = 0\nwhile True:\n    n += 1\n"
                "    subprocess.run([sys.argv[1], 'note', f'note {n}'], check=True, stdout=subprocess.DEVNULL)\n"
                "    print(n, flush=True)\n")
        writer = subprocess.Popen([sys.executable, "-c", loop, BINARY], env=self.place.env, stdout=subprocess.PIPE, text=True,
                                  start_new_session=True)
        try:
            for round_ in range(5):
                acknowledged = int(writer.stdout.readline())
                copy, exported = self.place.dir / f"copy-{round_}.db", self.place.dir / f"export-{round_}.json"
                self.good("backup", str(copy))
                self.good("export", str(exported))
                with contextlib.closing(sqlite3.connect(copy)) as db:
                    self.assertEqual(db.execute("PRAGMA integrity_check").fetchall(), [("ok",)])
                wanted = {f"note {n}" for n in range(1, acknowledged + 1)}
                self.assertLessEqual(wanted, {e["data"]["text"] for e in self.place.json("log", "--shop", str(copy))["entries"]})
                moved = json.loads(exported.read_text())["jobs"][0]["events"]
                self.assertLessEqual(wanted, {e["data"].get("text") for e in moved})
                self.good("note", "into the copy", "--shop", str(copy))
        finally:
            os.killpg(writer.pid, signal.SIGKILL)
            writer.wait()
            writer.stdout.close()
