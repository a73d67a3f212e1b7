// An engine as a wav: pulses through a resonance; idle, up to a top, held there, shut.
export function engineWav(top, rate = 16_000) {
  let state = 7;
  const dice = () => (state = (state * 1_103_515_245 + 12_345) % 2_147_483_648) / 2_147_483_648 - 0.5;
  const rpm = (t) =>
    t < 1.5
      ? 1700 + 20 * Math.sin(3 * t)
      : t < 2.3
        ? 1700 + ((top - 1700) * (t - 1.5)) / 0.8
        : t < 4.3
          ? top + 25 * Math.sin(5 * t)
          : 1700 + (top - 1700) * Math.exp(-(t - 4.3) / 0.25);
  const samples = [];
  let phase = 0, one = 0, two = 0;
  for (let i = 0; i < 6.5 * rate; ++i) {
    phase += rpm(i / rate) / 60 / rate;
    let kick = 0.05 * dice();
    if (phase >= 1) {
      phase -= 1;
      kick += 1 + 0.3 * dice();
    }
    const value = kick + 1.75 * one - 0.85 * two;
    two = one;
    one = value;
    samples.push(value);
  }
  const loudest = samples.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
  const wav = Buffer.alloc(44 + 2 * samples.length);
  wav.write("RIFF", 0);
  wav.writeUInt32LE(36 + 2 * samples.length, 4);
  wav.write("WAVEfmt ", 8);
  wav.writeUInt32LE(16, 16);
  wav.writeUInt16LE(1, 20);
  wav.writeUInt16LE(1, 22);
  wav.writeUInt32LE(rate, 24);
  wav.writeUInt32LE(2 * rate, 28);
  wav.writeUInt16LE(2, 32);
  wav.writeUInt16LE(16, 34);
  wav.write("data", 36);
  wav.writeUInt32LE(2 * samples.length, 40);
  samples.forEach((v, i) => wav.writeInt16LE(Math.round((26_000 * v) / loudest), 44 + 2 * i));
  return wav;
}
