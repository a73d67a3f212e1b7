"""The server: what it has acknowledged is kept, once each, whatever happens to it."""
import concurrent.futures
import contextlib
import os
import random
import sqlite3
import threading
import time

from place import Case
from serving import Phone, Served, new_key, serve


class ServedReceipts(Case):
    """An order that comes twice is carried out once."""

    def note(self, phone, text, key):
        return phone.ask("POST", "/api/jobs/1/entries", {"entries": [{"kind": "noted", "text": text}], "sure": False},
                         Crankwise_Entry=key)

    def test_the_same_again_after_the_server_was_killed(self):
        server = serve(self)
        phone = Phone(server)
        phone.new_job()
        orders = [("/api/jobs/1/entries", {"entries": [{"kind": "noted", "text": "a"}], "sure": False}),
                  ("/api/bikes", {"name": "Blue", "class": "mini-85-two-stroke", "with": [], "without": [], "displacement_cc": None,
                                  "hours": None}),
                  ("/api/jobs", {"bike": "red-125", "complaint": "b"}), ("/api/bikes/red-125/ridden", {"hours": 1}),
                  ("/api/settings", {"money_per_hour": 9, "currency": "c", "lacks": [], "usual": {}}),
                  ("/api/jobs/1/close", {"end": "given-up", "causes": [], "words": "w"}), ("/api/jobs/1/undo", {"act": 0}),
                  ("/api/bikes/red-125/undo", {})]
        for path, body in orders:
            with self.subTest(path):
                if path == "/api/jobs/1/undo":
                    body["act"] = phone.get("/api/jobs/1")["undo"]["act"]
                key = new_key()
                first = phone.post(path, body, Crankwise_Entry=key)
                server.kill()
                server = serve(self)
                phone = Phone(server)
                for _ in range(2):
                    again = phone.post(path, body, Crankwise_Entry=key)
                    self.assertEqual((again["again"], again["made"]), (True, first["made"]))
                    self.assertEqual(phone.get("/api/shop")["seq"], first["seq"])
        self.assertEqual(phone.words(1), ["note: a"])
        self.assertEqual(phone.get("/api/bikes/red-125")["hours"], 42)

    def test_a_refused_order_does_not_use_its_key_up(self):
        phone, key = Phone(serve(self)), new_key()
        phone.new_job()
        for path, body in (("/api/jobs/1/entries", {"entries": [{"kind": "did", "step": "fit-new-plg"}], "sure": False}),
                           ("/api/jobs/9/entries", {"entries": [{"kind": "noted", "text": "a"}], "sure": False}),
                           ("/api/jobs/1/undo", {"act": 1}), ("/api/jobs/1/close", {"end": "proven", "causes": [], "words": ""}),
                           ("/api/jobs", {"bike": "red-126", "complaint": "a"})):
            self.assertGreaterEqual(phone.ask("POST", path, body, Crankwise_Entry=key).status, 400, path)
        self.assertFalse(self.note(phone, "a", key).json["again"])
        self.assertTrue(self.note(phone, "a", key).json["again"])
        self.assertEqual(phone.words(1), ["note: a"])

    def test_without_a_key_nothing_is_written(self):
        phone = Phone(serve(self))
        phone.new_job()
        for key in (None, "", "0" * 31, "0" * 33, "A" * 32, "g" * 32, " " + "0" * 31, "0" * 16 + "-" + "0" * 15, "\u00e9" * 16):
            got = self.note(phone, "a", key)
            self.assertEqual((got.status, "32 lower-case hex digits" in got.wrong), (400, True), key)
        self.assertEqual(phone.words(1), [])

    def test_the_same_at_once_from_several(self):
        server = serve(self)
        phones = [Phone(server) for _ in range(6)]
        phones[0].new_job()
        keys = [new_key() for _ in range(10)]
        with concurrent.futures.ThreadPoolExecutor(len(phones)) as pool:
            told = list(pool.map(lambda phone: [self.note(phone, key, key).json["again"] for key in keys], phones))
        for n, key in enumerate(keys):
            self.assertEqual(sorted(t[n] for t in told), [False] + [True] * 5)
        self.assertEqual(phones[0].words(1), ["note: " + key for key in keys])

    def test_a_key_is_of_one_server_and_all_programs(self):
        """Two servers on one shop file know each other's receipts."""
        one, two = Phone(serve(self)), Phone(serve(self))
        one.new_job()
        key = new_key()
        self.assertEqual([self.note(p, "a", key).json["again"] for p in (one, two, one)], [False, True, True])
        self.assertEqual(two.words(1), ["note: a"])


class ServedKill(Case):
    """Killed at any moment, with several phones writing."""

    ROUNDS, PHONES = 5, 4

    def write(self, server, orders, acknowledged):
        """Until the server is gone."""
        phone = Phone(server)
        for key in orders:
            try:
                phone.write(1, {"kind": "noted", "text": key}, {"kind": "answered", "finding": "bogs-up-top", "answer": "unsure"},
                            Crankwise_Entry=key)
            except OSError:
                return
            acknowledged.add(key)

    def test_nothing_acknowledged_is_lost_and_nothing_is_there_twice(self):
        rng = random.Random(int(os.environ.get("CRANKWISE_SEED", "1")))
        first = Served(self.place)
        Phone(first).new_job()
        first.stop()
        kept, unsure = [], 0
        for round_ in range(self.ROUNDS):
            server = Served(self.place)
            orders = [[new_key() for _ in range(1000)] for _ in range(self.PHONES)]
            acknowledged = set()
            phones = [threading.Thread(target=self.write, args=(server, list_, acknowledged)) for list_ in orders]
            for phone in phones:
                phone.start()
            while len(acknowledged) < 5:  # on a slow machine too there is something to be lost
                time.sleep(0.01)
            time.sleep(rng.uniform(0, 0.4))
            server.process.kill()
            for phone in phones:
                phone.join()
            server.kill()
            after = Served(self.place)
            self.addCleanup(after.stop)
            phone = Phone(after)
            words = phone.words(1)
            there = [line.removeprefix("note: ") for line in words[::2]]
            self.assertEqual(len(words), 2 * len(there), "half an act")
            self.assertEqual(there[:len(kept)], kept, "older entries")
            new = there[len(kept):]
            self.assertEqual(len(new), len(set(new)), "written twice")
            self.assertLessEqual(acknowledged, set(new), f"lost in round {round_}")
            self.assertLessEqual(len(set(new) - acknowledged), self.PHONES, "more than one on its way from a phone")
            # Each phone sends again what it has no answer to.
            for list_ in orders:
                key = next(k for k in list_ if k not in acknowledged)
                self.assertEqual(phone.note(1, key, Crankwise_Entry=key)["again"], key in new)
                unsure += 1
                if key not in new:
                    phone.post("/api/jobs/1/undo", {"act": phone.get("/api/jobs/1")["undo"]["act"]})
            self.assertEqual(phone.words(1), words)
            kept = there
            after.stop()
        self.assertGreater(len(kept), 20)
        self.assertEqual(unsure, self.ROUNDS * self.PHONES, "no phone was cut off")
        with contextlib.closing(sqlite3.connect(self.place.shop)) as db:
            self.assertEqual(db.execute("PRAGMA integrity_check").fetchall(), [("ok",)])

    def test_killed_while_a_photo_comes(self):
        server = serve(self)
        Phone(server).new_job()
        phone = Phone(server)
        phone.line.putrequest("POST", "/api/jobs/1/photos")
        for name, value in (("Content-Type", "image/png"), ("Content-Length", "1000000"), ("Crankwise-Entry", new_key())):
            phone.line.putheader(name, value)
        phone.line.endheaders(b"\x89PNG" * 1000)
        server.kill()
        self.assertEqual(Phone(serve(self)).words(1), [])


class ServedAndTyped(Case):
    """The server and the command line at work on one shop file."""

    def test_each_sees_what_the_other_writes(self):
        server = serve(self)
        phone = Phone(server)
        phone.new_job()
        seen = phone.get("/api/jobs/1")["seq"]
        self.good("note", "typed")
        view = phone.get(f"/api/jobs/1?since={seen}")
        self.assertEqual([line["words"] for line in view["log"]], ["note: typed"])
        phone.note(1, "from the phone")
        self.assertIn("note: from the phone", self.good("log"))
        self.assertEqual(self.good("undo"), "taken back on job 1: note: from the phone\n")
        self.assertEqual(phone.ask("POST", "/api/jobs/1/undo", {"act": view["undo"]["act"] + 1}).status, 409)
        self.good("add-bike", "Typed", "--class", "mini-85-two-stroke")
        self.assertIn("typed", [b["id"] for b in phone.get("/api/shop")["bikes"]])
        self.good("close", "given-up")
        self.assertEqual(phone.get("/api/jobs/1")["end"], "given-up")

    def test_while_another_program_holds_the_file(self):
        """The order is not at fault: the page is to send it again by itself, under its key."""
        phone, key = Phone(serve(self)), new_key()
        phone.new_job()
        order = {"entries": [{"kind": "noted", "text": "a"}], "sure": False}
        with contextlib.closing(sqlite3.connect(self.place.shop, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            self.assertEqual(phone.words(1), [], "reading goes on")
            busy = phone.ask("POST", "/api/jobs/1/entries", order, Crankwise_Entry=key)
            self.assertIn("another program is writing", busy.wrong)
            self.assertEqual(phone.words(1), [])
            other.execute("ROLLBACK")
        self.assertFalse(phone.post("/api/jobs/1/entries", order, Crankwise_Entry=key)["again"])
        self.assertEqual(phone.words(1), ["note: a"])
        self.assertEqual(busy.status, 503)

    def test_the_demo_is_another_shop(self):
        phone, demo = Phone(serve(self)), Phone(serve(self, "--demo"))
        phone.new_job()
        self.assertEqual((phone.get("/api/hello")["demo"], demo.get("/api/hello")["demo"]), (False, True))
        for line in demo.get("/api/shop")["closed"] + demo.get("/api/shop")["open"]:
            self.assertEqual(demo.get(f"/api/jobs/{line['job']}")["complaint"], line["complaint"])
        demo.note(demo.new_job(), "for trying")
        self.assertEqual(phone.get("/api/shop")["seq"], 2)
        self.assertEqual(phone.words(1), [])

    def test_both_write_at_once(self):
        server = serve(self)
        Phone(server).new_job()

        def by_phone(n):
            phone = Phone(server)
            for i in range(15):
                phone.note(1, f"phone {n} {i}")
                time.sleep(0.15)  # nobody taps faster

        def typed(n):
            for i in range(5):
                self.good("note", f"typed {n} {i}")

        with concurrent.futures.ThreadPoolExecutor(5) as pool:
            for done in [pool.submit(by_phone, n) for n in range(3)] + [pool.submit(typed, n) for n in range(2)]:
                done.result()
        expected = [f"note: phone {n} {i}" for n in range(3) for i in range(15)]
        expected += [f"note: typed {n} {i}" for n in range(2) for i in range(5)]
        words = Phone(server).words(1)
        self.assertEqual(sorted(words), sorted(expected))
        self.assertEqual(words, ["note: " + e["data"]["text"] for e in self.entries()], "one order for both")
        for who in ("phone 0", "phone 1", "phone 2", "typed 0", "typed 1"):
            numbers = [int(w.split()[-1]) for w in words if who in w]
            self.assertEqual(numbers, sorted(numbers), "in the order of their sender")
