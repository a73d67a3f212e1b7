// A line to a server that loses answers: what was asked has arrived and was done, and nobody hears of it.
import http from "node:http";

/** `losing(request)` says of each whether its answer is lost; `slowly(request)` for how many ms it is held up. */
export async function startLine(server) {
  const line = { losing: () => false, slowly: () => 0, keys: [] };
  const front = http.createServer((asked, answer) => {
    const key = asked.headers["crankwise-entry"];
    if (key) line.keys.push(key);
    const headers = { ...asked.headers, host: new URL(server.address).host };
    if (headers.origin) headers.origin = server.address;
    const { method, url: path } = asked;
    const onward = http.request({ host: "127.0.0.1", port: server.port, method, path, headers }, (answered) => {
      if (line.losing(asked)) {
        answered.resume();
        answered.on("end", () => asked.socket.destroy());
        return;
      }
      setTimeout(() => {
        answer.writeHead(answered.statusCode, answered.headers);
        answered.pipe(answer);
      }, line.slowly(asked));
    });
    onward.on("error", () => asked.socket.destroy());
    asked.pipe(onward);
  });
  await new Promise((listening) => front.listen(0, "127.0.0.1", listening));
  line.address = `http://localhost:${front.address().port}`;
  line.end = () => {
    front.closeAllConnections();
    return new Promise((closed) => front.close(closed));
  };
  return line;
}
