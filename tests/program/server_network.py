"""The server open to the workshop's network: pairing, and the line that nobody reads along."""
import hashlib
import re
import socket
import ssl
import stat
import warnings

from place import Case
from serving import Phone, Served, routes, serve


def folder(case):
    return case.place.shop.with_name("shop.db.server")


def trusting(case):
    """As a phone that trusts the server's certificate, and no other."""
    return ssl.create_default_context(cafile=folder(case) / "certificate.pem")


class ServedPairing(Case):
    """Nobody sees the shop who was not told the code."""

    def setUp(self):
        super().setUp()
        self.server = serve(self, "--network", "--no-tls")
        self.phone = Phone(self.server)

    def pair(self, phone, code=None, **headers):
        return phone.ask("POST", "/api/pair", {"code": code or self.server.told["code"]}, **headers)

    def paired(self):
        """A phone that was told the code."""
        phone = Phone(self.server)
        phone.headers = {"Cookie": self.pair(phone).headers["Set-Cookie"].split(";")[0]}
        return phone

    def test_without_it_nothing_is_seen_and_nothing_written(self):
        job = self.paired().new_job("secret complaint")
        photo = self.paired().photo(job, b"no picture")
        self.assertEqual(photo.status, 400)
        seen = self.paired().get("/api/shop")["seq"]
        open_to_all = set()
        for method, route in routes():
            path = re.sub(r"\{job\}", str(job), route).format(bike="red-125", step="look-at-plug", fault="reed-chipped", sha256="0" * 64,
                                                              sum="oil-for-fuel")
            for cookie in (None, "crankwise=", "crankwise=" + "0" * 64, "x; crankwise=; __Host-crankwise=1"):
                for body in (None, {}) if method == "GET" else ({}, {"bike": "red-125", "complaint": "x"}):
                    got = self.phone.ask(method, path, body, Cookie=cookie)
                    if got.status != 401:
                        open_to_all.add((method, route))
                    self.assertNotIn(b"secret", got.body)
                    self.assertNotIn(b"red-125", got.body.lower())
        self.assertEqual(open_to_all, {("GET", "/api/hello"), ("POST", "/api/pair")})
        self.assertEqual(self.phone.get("/api/hello") | {"version": ""}, {"version": "", "paired": False, "network": True, "demo": False})
        self.assertEqual(self.phone.ask("GET", "/").status, 200)
        for path in ("/api/", "/api/nothing", "/api/jobs/1/nothing"):
            self.assertEqual(self.phone.ask("GET", path).status, 401, path)
        self.assertEqual(self.paired().get("/api/shop")["seq"], seen)

    def test_the_code_pairs(self):
        got = self.pair(self.phone)
        self.assertEqual((got.status, got.json["paired"]), (200, True))
        name, *marks = got.headers["Set-Cookie"].split("; ")
        self.assertRegex(name, "^crankwise=[0-9a-f]{64}$")
        self.assertLessEqual({"Path=/", "HttpOnly", "SameSite=Strict"}, set(marks))
        self.assertNotIn("Secure", marks)
        self.assertEqual(self.phone.ask("GET", "/api/shop").status, 401, "it is the cookie that counts, not the line")
        self.phone.headers = {"Cookie": name}
        self.assertEqual(self.phone.ask("GET", "/api/shop").status, 200)
        self.assertTrue(self.phone.get("/api/hello")["paired"])
        self.assertEqual(self.pair(Phone(self.server), self.server.told["code"].lower().replace("-", " ")).status, 200, "as it is typed")
        secret = name.split("=")[1]
        for file in folder(self).iterdir():
            self.assertNotIn(secret, file.read_text(), "only its digest is kept")
        self.assertEqual(stat.S_IMODE((folder(self) / "phones.json").stat().st_mode), 0o600)

    def test_wrong_codes(self):
        right = self.server.told["code"]
        for code in ("2222-2222", right[:-1], right + right[-1], "", "\u00e9" * 8):
            got = self.phone.ask("POST", "/api/pair", {"code": code})
            self.assertEqual((got.status, got.headers["Set-Cookie"]), (403, None), code)
        for phone in (self.phone, Phone(self.server)):
            got = self.pair(phone)
            self.assertEqual((got.status, got.headers["Set-Cookie"]), (429, None), "the right one, too soon")

    def test_what_is_no_try_does_not_count(self):
        for _ in range(8):
            self.assertEqual(self.phone.ask("POST", "/api/pair", {"cod": "2222-2222"}).status, 400)
            self.assertEqual(self.pair(self.phone, Origin="http://bad.example").status, 403)
        self.assertEqual(self.pair(self.phone).status, 200)

    def test_it_outlives_the_server_until_it_is_ended(self):
        phone, other = self.paired(), self.paired()
        self.server.stop()
        code, self.server = self.server.told["code"], serve(self, "--network", "--no-tls")
        self.assertNotEqual(self.server.told["code"], code, "a new one at every start")
        self.assertEqual(self.pair(Phone(self.server), code).status, 403)
        again, still = Phone(self.server, **phone.headers), Phone(self.server, **other.headers)
        self.assertEqual(again.ask("GET", "/api/shop").status, 200)
        ended = again.ask("POST", "/api/unpair", {})
        self.assertRegex(ended.headers["Set-Cookie"], "^crankwise=;.*Max-Age=0")
        self.assertEqual(again.ask("GET", "/api/shop").status, 401)
        self.assertEqual(still.ask("GET", "/api/shop").status, 200, "another phone's")
        self.server.kill()
        self.server = serve(self, "--network", "--no-tls")
        self.assertEqual(Phone(self.server, **phone.headers).ask("GET", "/api/shop").status, 401, "kept ended")
        self.assertEqual(Phone(self.server, **other.headers).ask("GET", "/api/shop").status, 200)

    def test_a_damaged_list_of_phones_is_said(self):
        self.paired()
        self.server.stop()
        for text in ("{", "[1]", '{"a": "b"}', "\xff"):
            (folder(self) / "phones.json").write_text(text)
            self.bad("serve", "--network", "--no-tls", "--port", "0", says=["phones.json", "is not a list of paired phones"])

    def test_one_cookie_among_others(self):
        cookie = self.paired().headers["Cookie"]
        for sent, status in ((f"a=b; {cookie}; c=d", 200), (f"a={cookie}", 401), (f"x{cookie}", 401), (cookie[:-1], 401),
                             (cookie + "0", 401), (cookie.upper(), 401),
                             (f"__Host-{cookie}", 401)):
            self.assertEqual(self.phone.ask("GET", "/api/shop", Cookie=sent).status, status, sent)


class ServedTls(Case):
    """The certificate that the machine makes for itself."""

    def test_a_phone_that_trusts_it(self):
        server = serve(self, "--network")
        phone = Phone(server, trusting(self))
        self.assertEqual(server.scheme, "https")
        cookie = phone.ask("POST", "/api/pair", {"code": server.told["code"]}).headers["Set-Cookie"]
        self.assertRegex(cookie, "^__Host-crankwise=[0-9a-f]{64}; ")
        self.assertLessEqual({"Path=/", "HttpOnly", "SameSite=Strict", "Secure"}, set(cookie.split("; ")))
        phone.headers = {"Cookie": cookie.split(";")[0]}
        phone.note(phone.new_job(), "over the line", Origin=server.origin, Sec_Fetch_Site="same-origin")
        self.assertEqual(phone.words(1), ["note: over the line"])
        self.assertEqual(phone.ask("POST", "/api/jobs", {"bike": "red-125", "complaint": "x"},
                                   Origin=server.origin.replace("https", "http")).status, 403)
        server.kill()
        server = serve(self, "--network")
        self.assertEqual(Phone(server, trusting(self), **phone.headers).words(1), ["note: over the line"])

    def test_its_names_and_its_fingerprint(self):
        server, context = serve(self, "--network"), trusting(self)
        shown = server.told["address"].split("//")[1].split(":")[0]
        for name in ("localhost", "127.0.0.1", shown, socket.gethostname()):
            with socket.create_connection(("127.0.0.1", server.port)) as line, context.wrap_socket(line, server_hostname=name) as tls:
                digest = hashlib.sha256(tls.getpeercert(binary_form=True)).hexdigest().upper()
                tls.sendall(f"GET /api/hello HTTP/1.1\r\nHost: {name}:{server.port}\r\nConnection: close\r\n\r\n".encode())
                self.assertTrue(tls.recv(100).startswith(b"HTTP/1.1 200 "), name)
            self.assertEqual(server.told["fingerprint"], ":".join(digest[i:i + 2] for i in range(0, 64, 2)))
        for name in ("bad.example", "192.0.2.99"):
            with socket.create_connection(("127.0.0.1", server.port)) as line, self.assertRaises(ssl.SSLCertVerificationError, msg=name):
                context.wrap_socket(line, server_hostname=name)
        with socket.create_connection(("127.0.0.1", server.port)) as line, self.assertRaises(ssl.SSLCertVerificationError):
            ssl.create_default_context().wrap_socket(line, server_hostname="localhost")

    def test_it_is_kept_and_made_anew_when_damaged(self):
        serve(self, "--network").stop()
        pem, key = folder(self) / "certificate.pem", folder(self) / "key.pem"
        self.assertEqual(stat.S_IMODE(key.stat().st_mode), 0o600)
        self.assertIn("PRIVATE KEY", key.read_text())
        self.assertNotIn("PRIVATE", pem.read_text())
        kept = pem.read_bytes()
        old = serve(self, "--network")
        old.stop()
        self.assertEqual(pem.read_bytes(), kept)
        for damage in (lambda: pem.write_text("no certificate"), pem.unlink, key.unlink):
            damage()
            server = serve(self, "--network")
            self.assertNotEqual(server.told["fingerprint"], old.told["fingerprint"])
            self.assertFalse(Phone(server, trusting(self)).get("/api/hello")["paired"])
            self.assertEqual(stat.S_IMODE(key.stat().st_mode), 0o600)
            server.stop()
            old = server

    def test_a_key_that_is_not_of_the_certificate(self):
        serve(self, "--network").stop()
        (folder(self) / "key.pem").write_text("no key")
        server = serve(self, "--network")
        self.assertFalse(Phone(server, trusting(self)).get("/api/hello")["paired"])

    def test_no_old_protocols(self):
        server = serve(self, "--network")
        for version, taken in ((ssl.TLSVersion.TLSv1_1, False), (ssl.TLSVersion.TLSv1_2, True), (ssl.TLSVersion.TLSv1_3, True)):
            context = trusting(self)
            context.set_ciphers("ALL:@SECLEVEL=0")
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # they are old, yes
                context.minimum_version, context.maximum_version = ssl.TLSVersion.MINIMUM_SUPPORTED, version
            with socket.create_connection(("127.0.0.1", server.port)) as line:
                if taken:
                    context.wrap_socket(line, server_hostname="localhost").close()
                else:
                    with self.assertRaises(ssl.SSLError, msg=version):
                        context.wrap_socket(line, server_hostname="localhost").close()

    def test_options(self):
        self.bad("serve", "--no-tls", "--port", "0", says="is for --network")
        for port in ("65536", "-1", "x"):
            self.bad("serve", "--port", port, says="--port")
        taken = serve(self)
        self.bad("serve", "--port", str(taken.port), says=["cannot be listened on", "--port 0"])
        self.assertFalse(folder(self).exists(), "for the network only")
        told = Served(self.place, "--network", "--no-tls")
        self.addCleanup(told.stop)
        self.assertEqual((told.scheme, set(told.told)), ("http", {"address", "code"}))

    def test_this_machine_only(self):
        """By default nobody reaches it by another address than 127.0.0.1."""
        here, everywhere = serve(self), serve(self, "--network")
        for server, reached in ((here, False), (everywhere, True)):
            with socket.socket() as line:
                self.assertEqual(line.connect_ex(("127.0.0.2", server.port)) == 0, reached)
