"""A running server, and asking it as a page does. Every answer is held to the rules that hold for all of them."""
import http.client
import json
import re
import secrets
import signal
import subprocess

from place import BINARY, CLASS, ROOT

SAFE = {"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer", "Cross-Origin-Opener-Policy": "same-origin",
        "Cross-Origin-Resource-Policy": "same-origin"}
NEW_BIKE = {"name": "Red 125", "class": CLASS, "with": [], "without": [], "displacement_cc": None, "hours": 42}


def new_key():
    return secrets.token_hex(16)


def wire(name):
    """The fields of a type that goes over the line: those that must be there, and all."""
    text = (ROOT / "ui/src/wire.ts").read_text()
    extends, inside = re.search(rf"^export interface {name}(?: extends (\w+))? \{{\n(.*?)^\}}", text, re.M | re.S).groups()
    need, may = wire(extends) if extends else (set(), set())
    fields = re.findall(r"^  (\w+)(\??):", inside, re.M)
    return need | {f for f, optional in fields if not optional}, may | {f for f, _ in fields}


def routes():
    """(method, path) of every route of the server, as its sources have them."""
    return [found for path in sorted((ROOT / "http").glob("routes_*.cc"))
            for found in re.findall(r'\{"(GET|POST)", "(/api/[^"]*)", (?:true|false), ', path.read_text())]


class Answer:
    def __init__(self, status, headers, body):
        self.status, self.headers, self.body = status, headers, body

    @property
    def json(self):
        return json.loads(self.body)

    @property
    def wrong(self):
        """All that was wrong, for looking into."""
        return "\n".join(f"{p['field']}: {p['wrong']}; {p['right']}" for p in self.json["problems"])

    def check(self, head_only=False):
        """What every answer must be; raises AssertionError."""
        def must(so, what):
            if not so:
                raise AssertionError(f"{what}: {self.status} {self.headers.items()} {self.body[:300]}")
        for name, value in SAFE.items():
            must(self.headers.get(name) == value, name)
        must("default-src 'none'" in self.headers.get("Content-Security-Policy", ""), "Content-Security-Policy")
        must(self.headers.get("Cache-Control"), "Cache-Control")
        if self.status in (204, 304):
            must(self.body == b"", "a body")
        elif self.status != 200 and not head_only:
            must(self.headers["Content-Type"] == "application/json; charset=utf-8", "type of a refusal")
            told = self.json
            must(set(told) - {"doubted"} == {"problems"} and told["problems"], "shape of a refusal")
            must("doubted" not in told or (told["doubted"] is True and self.status == 409), "doubted")
            for problem in told["problems"]:
                must(set(problem) == {"field", "wrong", "right"} and problem["wrong"], "shape of a problem")
            for word in (b"exception", b"basic_", b"std::", b"terminate", b"Sanitizer"):
                must(word not in self.body, "the program's own words")


class Served:
    """A server of the place's shop."""

    def __init__(self, place, *args):
        self.errors = place.dir / f"server-{secrets.token_hex(4)}.err"
        with self.errors.open("wb") as err:
            self.process = subprocess.Popen([BINARY, "serve", "--port", "0", "--json", *args], stdin=subprocess.PIPE,
                                            stdout=subprocess.PIPE, stderr=err, env=place.env)
        self.phones = []
        line = self.process.stdout.readline()
        if not line.endswith(b"}\n"):
            said = line + self.process.communicate()[0]
            raise AssertionError(f"it does not serve: {said.decode()}{self.errors.read_text()}")
        self.told = json.loads(line)
        self.scheme, self.port = self.told["address"].split(":")[0], int(self.told["address"].split(":")[-1])
        self.host = f"127.0.0.1:{self.port}"
        self.origin = f"{self.scheme}://{self.host}"

    def end(self, how):
        self.process.send_signal(how)
        code = self.process.wait(60)
        for line in [phone.line for phone in self.phones] + [self.process.stdin, self.process.stdout]:
            line.close()
        return code

    def kill(self):
        self.end(signal.SIGKILL)

    def stop(self):
        """Ended as by Ctrl-C; it must have lived until then, and have had nothing to complain of."""
        if self.process.returncode is not None:
            return  # the test has ended it
        code, err = self.end(signal.SIGINT), self.errors.read_text()
        if code != 0 or err:
            raise AssertionError(f"the server ended with {code}: {err}")


def serve(case, *args):
    """A server that lives until the test ends."""
    server = Served(case.place, *args)
    case.addCleanup(server.stop)
    return server


class Phone:
    """Somebody who asks: a connection that is kept open, and headers that go with everything."""

    def __init__(self, server, tls=None, **headers):
        self.headers = headers
        server.phones.append(self)
        self.line = (http.client.HTTPConnection("127.0.0.1", server.port, timeout=60) if tls is None else
                     http.client.HTTPSConnection("127.0.0.1", server.port, timeout=60, context=tls))

    def ask(self, method, path, body=None, **headers):
        """The answer, checked. Headers as keywords, - as _; those that are None are left out."""
        data = body if body is None or isinstance(body, bytes) else json.dumps(body).encode()
        sent = {} if data is None else {"Content_Type": "application/json", "Crankwise_Entry": new_key()}
        sent = {name.replace("_", "-"): value for name, value in (sent | self.headers | headers).items() if value is not None}
        try:
            self.line.request(method, path, data, sent)
            response = self.line.getresponse()
            answer = Answer(response.status, response.headers, response.read())
        except Exception:
            self.line.close()  # the next question opens a new one
            raise
        answer.check(method == "HEAD")
        return answer

    def get(self, path, **headers):
        answer = self.ask("GET", path, **headers)
        if answer.status != 200:
            raise AssertionError(f"GET {path}: {answer.status} {answer.body.decode()}")
        return answer.json

    def post(self, path, body, **headers):
        answer = self.ask("POST", path, body, **headers)
        if answer.status != 200:
            raise AssertionError(f"POST {path}: {answer.status} {answer.body.decode()}")
        return answer.json

    def write(self, job, *entries, sure=False, **headers):
        return self.post(f"/api/jobs/{job}/entries", {"entries": list(entries), "sure": sure}, **headers)

    def note(self, job, text, **headers):
        return self.write(job, {"kind": "noted", "text": text}, **headers)

    def words(self, job):
        return [line["words"] for line in self.get(f"/api/jobs/{job}")["log"]]

    def new_job(self, complaint="bogs up top", **bike):
        """On a new bike; its number."""
        made = self.post("/api/bikes", NEW_BIKE | bike)["made"]
        return int(self.post("/api/jobs", {"bike": made.split("/")[1], "complaint": complaint})["made"].split("/")[1])

    def photo(self, job, data, caption="", media_type="image/png", **headers):
        return self.ask("POST", f"/api/jobs/{job}/photos?caption={caption}", data, Content_Type=media_type, **headers)
