"""The server: what comes over the line, byte by byte. Nothing that is sent may pass for another question, keep others
waiting or end the server."""
import contextlib
import re
import socket

from place import Case
from serving import Phone, new_key, serve

JSON = "Content-Type: application/json\r\n"
MANY = 150  # at once; up to 256 connections of one address are taken


class ServedLine(Case):
    def setUp(self):
        super().setUp()
        self.server = serve(self)
        self.phone = Phone(self.server)
        self.phone.new_job()

    def head(self, first, *lines, host=None):
        return "".join([f"{first} HTTP/1.1\r\n", f"Host: {host or self.server.host}\r\n", *lines, "\r\n"]).encode()

    def line(self, data=b""):
        line = socket.create_connection(("127.0.0.1", self.server.port), 60)
        self.addCleanup(line.close)
        line.sendall(data)
        return line

    def say(self, data, patience=60):
        """The statuses of all answers to these bytes and a last question after them; and all that came. What cannot be
        read as a question at all, the library answers itself, and may do so twice before it hangs up."""
        last = self.head("GET /api/learned", "Connection: close\r\n")
        line, said = self.line(), b""
        line.settimeout(patience)
        with contextlib.suppress(OSError):  # it may be cut off while we send
            line.sendall(data + last)
            line.shutdown(socket.SHUT_WR)
        with contextlib.suppress(OSError):
            while piece := line.recv(1 << 16):
                said += piece
        return [int(s) for s in re.findall(rb"HTTP/1\.1 (\d+) ", said)], said

    def forged(self):
        """An order that would write; none of the tests here means it to be carried out."""
        body = b'{"entries": [{"kind": "noted", "text": "forged"}], "sure": false}'
        return self.head("POST /api/jobs/1/entries", JSON, f"Crankwise-Entry: {new_key()}\r\n", f"Content-Length: {len(body)}\r\n") + body

    def unharmed(self):
        self.assertEqual(self.phone.words(1), [])
        self.assertIsNone(self.server.process.poll())

    def test_the_forged_order_would_be_carried_out_by_itself(self):
        """Or the tests here would prove nothing."""
        statuses, said = self.say(self.forged())
        self.assertEqual(statuses, [200, 200])
        self.assertIn(b'"least"', said)
        self.assertEqual(self.phone.words(1), ["note: forged"])

    def test_a_body_is_never_a_question(self):
        """Refused by its head or not, its body is read as a body, or the line is closed."""
        inner = self.forged()
        length, key = f"Content-Length: {len(inner)}\r\n", f"Crankwise-Entry: {new_key()}\r\n"
        for refusal, head in (
                (415, self.head("POST /api/jobs", "Content-Type: text/plain\r\n", length)),
                (405, self.head("PUT /api/jobs", JSON, length)),
                (403, self.head("POST /api/jobs", JSON, "Origin: http://bad.example\r\n", length)),
                (403, self.head("POST /", "Sec-Fetch-Site: cross-site\r\n", length)), (405, self.head("POST /", JSON, length)),
                (421, self.head("POST /api/jobs", JSON, length, host="bad.example")), (413, self.head("GET /api/shop", length)),
                (413, self.head("HEAD /api/shop", length)), (404, self.head("POST /api/nothing", JSON, length)),
                (400, self.head("POST /api/jobs", JSON, key, length)), (405, self.head("OPTIONS /api/jobs", JSON, length)),
                (400, self.head("POST /api/jobs/1/photos", "Content-Type: image/png\r\n", key, length)),
                (415, self.head("POST /api/jobs", "Expect: 100-continue\r\n", length))):
            statuses, said = self.say(head + inner)
            self.assertIn(statuses, ([refusal], [refusal, 200], [100, refusal, 200]), head)
            self.assertEqual(said.count(b'"least"'), statuses.count(200), "the last question's answer and no other")
        self.unharmed()

    def test_a_body_in_pieces_is_never_a_question(self):
        inner = self.forged()
        chunked = "Transfer-Encoding: chunked\r\n"
        body = b"%x\r\n" % len(inner) + inner + b"\r\n0\r\n\r\n"
        for refusal, head in ((415, self.head("POST /api/jobs", chunked)), (400, self.head("POST /api/jobs", JSON, chunked)),
                              (403, self.head("POST /api/jobs", JSON, chunked, "Origin: null\r\n")),
                              (413, self.head("GET /api/shop", chunked))):
            statuses, said = self.say(head + body)
            self.assertIn(statuses, ([refusal], [refusal, 200]), head)
            self.assertEqual(said.count(b'"least"'), statuses.count(200))
        for size in (b"zz", b"-1", b"ffffffffffffffffff", b"", b"5;" + b"x" * 100_000):
            self.assertNotIn(200, self.say(self.head("POST /api/jobs", JSON, chunked) + size + b"\r\n" + inner)[0], size[:20])
        self.unharmed()

    def test_a_length_that_is_none(self):
        """What cannot be understood ends the line."""
        for length in ("-5", "x", "+5", "0x10", "5 5", "5,5", "1e3", "99999999999", "9" * 30, "\u0665"):
            statuses, _ = self.say(self.head("POST /api/jobs", JSON, f"Content-Length: {length}\r\n") + self.forged())
            self.assertTrue(set(statuses) <= {400, 413} and statuses, f"{length}: {statuses}")
        self.unharmed()

    def test_two_lengths(self):
        """Somebody between may go by the other one."""
        inner = self.forged()
        some, none, chunked = f"Content-Length: {len(inner)}\r\n", "Content-Length: 0\r\n", "Transfer-Encoding: chunked\r\n"
        for name, lines, body in (("first none", (none, some), inner), ("first some", (some, none), inner),
                                  ("chunked too", (f"Content-Length: {len(inner) + 5}\r\n", chunked), b"0\r\n\r\n" + inner)):
            with self.subTest(name):
                statuses, _ = self.say(self.head("POST /api/jobs", JSON, *lines) + body)
                self.assertNotIn(200, statuses)
                self.assertEqual(self.phone.words(1), [])

    def test_an_encoding_that_is_not_known(self):
        """Where such a body ends nobody can tell, so it is refused at once."""
        for coding in ("chunked, identity", "gzip", "xchunked"):
            with self.subTest(coding):
                statuses, _ = self.say(self.head("POST /api/jobs", JSON,
                                                 f"Transfer-Encoding: {coding}\r\n") + b"0\r\n\r\n" + self.forged(), 5)
                self.assertTrue(statuses and set(statuses) <= {400, 501}, statuses)
        self.unharmed()

    def test_two_hosts(self):
        for one, two in ((self.server.host, "bad.example"), ("bad.example", self.server.host)):
            statuses, _ = self.say(self.head("GET /api/shop", f"Host: {two}\r\n", host=one))
            self.assertNotEqual(statuses[0], 200, f"{one}, then {two}")

    def test_too_much_of_everything(self):
        h = self.head
        for name, data, expected in (
                ("a long body", h("POST /api/jobs", JSON, "Content-Length: 200001\r\n") + b"{" * 200_001, [{413, 200}]),
                ("in pieces", h("POST /api/jobs", JSON,
                                "Transfer-Encoding: chunked\r\n") + b"493e0\r\n" + b"{" * 300_000 + b"\r\n0\r\n\r\n", [{413, 200}]),
                ("far too long", h("POST /api/jobs", JSON, "Content-Length: 999999999\r\n") + b"{" * 9000, [{413}]),
                ("a long header", h("GET /api/hello", "X: " + "a" * 1_000_000 + "\r\n"), [{431}, set()]),
                ("many headers", h("GET /api/hello", "X: a\r\n" * 100_000), [{431}, set()]),
                ("a long address", h("GET /" + "a" * 1_000_000), [{414}, set()]),
                ("a long method", h("A" * 1_000_000 + " /"), [{414}, {400}, {431}, set()]),
                ("many arguments", h("GET /api/shop?" + "&".join(f"a{n}=1" for n in range(20_000))), [{414}, set()]),
                ("a long cookie", h("GET /api/shop", "Cookie: crankwise=" + "a" * 20_000 + "\r\n"), [{431}])):
            with self.subTest(name):
                self.assertIn(set(self.say(data)[0]), expected)
        self.unharmed()

    def test_what_is_no_http(self):
        for data in (b"\0" * 5000, bytes(range(256)) * 20, b"GET /\r\n\r\n", b"GET / HTTP/9.9\r\n\r\n", b"GET  /  HTTP/1.1\r\n\r\n",
                     b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
                     b"GET / HTTP/1.1\r\n\r\n", b"GET / HTTP/1.1\r\n: x\r\n\r\n", b"GET / HTTP/1.1\r\nHost\r\n\r\n", b"\r\n" * 1000,
                     b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + bytes(500),
                     self.head("GET /api/shop").replace(b"Host:", b"Host :"),
                     self.head("GET /api/shop").replace(b"Host: ", b"Host:\r\n "),
                     self.head("GET /api/shop", "A\0B: x\r\n"), self.head("GET /api/shop").replace(b"\r\nHost", b"\rHost")):
            statuses, said = self.say(data)
            self.assertEqual(said.count(b'"seq"'), 0, data[:40])
            self.assertTrue(set(statuses) <= {200, 400, 405, 414, 421, 431, 501, 505}, f"{data[:40]}: {statuses}")
        self.unharmed()

    def test_who_stalls_keeps_nobody_waiting(self):
        """Half a question from many; the others are answered while these still hang."""
        halves = (b"", b"GET /api/sh", b"GET /api/shop HTTP/1.1\r\nHost: ", self.forged()[:-1],
                  self.head("POST /api/jobs/1/photos", "Content-Type: image/png\r\n", f"Crankwise-Entry: {new_key()}\r\n",
                            "Content-Length: 9000000\r\n") + bytes(50_000),
                  self.head("POST /api/jobs", JSON, "Transfer-Encoding: chunked\r\n") + b"ffff\r\n{")
        stalled = [self.line(halves[n % len(halves)]) for n in range(MANY)]
        for n in range(20):
            phone = Phone(self.server)
            phone.get("/api/shop")
            phone.note(1, f"answered {n}")
            phone.line.close()
        for line in stalled:
            line.setblocking(False)
            with self.assertRaises(BlockingIOError, msg="it was given up before the others were answered"):
                line.recv(1)
        # What had come in halves is whole when its rest comes.
        rest = next(line for n, line in enumerate(stalled) if n % len(halves) == 3)
        rest.setblocking(True)
        rest.sendall(b"}")
        self.assertTrue(rest.recv(100).startswith(b"HTTP/1.1 200 "))
        self.assertEqual(self.phone.words(1)[-1], "note: forged")

    def test_who_does_not_read_keeps_nobody_waiting(self):
        question = self.head("GET /api/words") * 400  # 20 MB of answers
        deaf = [self.line(question) for _ in range(20)]
        for n in range(10):
            Phone(self.server).note(1, f"answered {n}")
        self.assertEqual(len(self.phone.words(1)), 10)
        for line in deaf:
            self.assertTrue(line.recv(10).startswith(b"HTTP/1.1 "))

    def test_who_hangs_up(self):
        """In the midst of a question, and before the answer."""
        whole = self.head("GET /api/jobs/1")
        for n in range(MANY):
            line = self.line(whole[:n % len(whole)] if n % 3 else whole)
            line.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\1\0\0\0\0\0\0\0")  # reset, no goodbye
            line.close()
        self.unharmed()
        self.assertEqual(self.phone.ask("GET", "/api/jobs/1").status, 200)
