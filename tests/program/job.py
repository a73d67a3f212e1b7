"""A whole job by scriptable commands, and what can be done to it."""
from place import CLASS, KNOWLEDGE, Case, Truth


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
