// A picture made here, of one colour.
import { deflateSync } from "node:zlib";

function crc32(bytes) {
  let crc = ~0;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; ++bit) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  return ~crc >>> 0;
}

function chunk(type, data) {
  const named = Buffer.concat([Buffer.from(type), data]);
  const [length, check] = [Buffer.alloc(4), Buffer.alloc(4)];
  length.writeUInt32BE(data.length);
  check.writeUInt32BE(crc32(named));
  return Buffer.concat([length, named, check]);
}

export function png(width, height) {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header.set([8, 2], 8); // eight bits each of red, green and blue
  const line = Buffer.concat([Buffer.from([0]), Buffer.alloc(3 * width, 0x80)]);
  const lines = deflateSync(Buffer.concat(Array.from({ length: height }, () => line)));
  const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  return Buffer.concat([signature, chunk("IHDR", header), chunk("IDAT", lines), chunk("IEND", Buffer.alloc(0))]);
}
