"""The step-by-step mode."""
import json
import re

from place import CLASS, KNOWLEDGE, Case, Dialogue, Place, Truth


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
            asked = len(re.findall(r"y yes, n no\b|Done\?|trouble gone, 2", talk.said))
            self.assertLessEqual(asked, 1, talk.said)
            talk.say("n")
        self.leave(talk)

    def test_words_are_only_proposed(self):
        talk = self.start("bogs up top, plug is wet")
        seen = []
        while "(heard: " in talk.said:
            seen.append(talk.question())
            self.assertEqual(self.said_so(), [], "written down before it was confirmed")
            talk.say("s")
        self.assertIn("bogs-up-top", seen)
        self.assertIn("plug-wet-fuel", seen)
        self.leave(talk)
        self.assertEqual(self.said_so(), [])

    def said_so(self):
        """The entries that say something about the bike."""
        return [fact for fact in self.facts() if fact[0] != "not-meant"]

    def test_words_not_yet_confirmed_are_asked_again(self):
        talk = self.start("bogs up top, blubbers, plug is wet, stood over winter")
        asked = []
        for answer in ("y", "s", None):
            asked.append(self.words_asked(talk))
            if answer:
                talk.say(answer)
        self.assertEqual(len(set(asked)), 3, asked)
        self.leave(talk)
        self.assertEqual(self.facts(), [("answered", json.dumps({"answer": "yes", "finding": asked[0]})),
                                        ("not-meant", json.dumps({"id": asked[1]}))])
        talk = Dialogue(self.place)
        while "(heard: " in talk.said:
            asked.append(self.words_asked(talk))
            talk.say("u")
            kept = self.facts()
            talk.process.kill()
            talk.end()
            self.assertEqual(self.facts(), kept)
            talk = Dialogue(self.place)
        self.assertEqual(asked[2], asked[3], "the one that was not answered comes first")
        self.assertIn("stood-over-a-month", asked)
        self.assertEqual(len(asked) - 1, len(set(asked)), "asked again although settled")
        self.assertIn(("not-meant", '{"id": "stood-over-a-month"}'), self.facts(), "nobody knows")
        self.leave(talk)

    def words_asked(self, talk):
        """The finding or context that the rider's words may mean."""
        flat = " ".join(talk.said.split()).rsplit(" (heard: ", 1)[0]
        return max((len(thing["ask"]), name) for kind in ("finding", "context") for name, thing in KNOWLEDGE[kind].items()
                   if flat.endswith(" ".join(thing["ask"].split())))[1]

    def test_b_takes_back_that_words_were_left_out(self):
        talk = self.start("bogs up top, blubbers")
        first = self.words_asked(talk)
        talk.say("s")
        self.assertNotEqual(self.words_asked(talk), first)
        talk.say("b")
        self.assertEqual((self.facts(), self.words_asked(talk)), ([], first))
        self.leave(talk)

    def test_words_are_not_asked_once_something_was_repaired(self):
        for act, asks in ((["did", "look-air-filter"], True), (["did", "fit-new-plug"], False)):
            with self.subTest(act=act):
                place = self.place = Place()
                self.addCleanup(place.close)
                self.leave(self.start("bogs up top, blubbers"))
                self.good(*act)
                talk = Dialogue(self.place)
                self.assertEqual("(heard: " in talk.said, asks, talk.said)
                self.leave(talk)

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
                for _ in range(12):
                    if len(self.facts()) < 5:
                        talk.say("y" if "Done?" in talk.said else "n")
                kept = self.facts()
                self.assertGreaterEqual(len(kept), 4)
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
