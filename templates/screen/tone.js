// Sounds made by arithmetic: a struck string, a click. Samples out; knows no audio device.

export const RATE = 22050;

// How far upper partials of a stiff string are stretched: partial n sounds at n·f·√(1 + B·n²)
// (Fletcher 1964). B grows by an octave's factor of about 2.2 from the middle upwards.
function stiffness(key) {
  return 0.0003 * 2.2 ** ((key - 60) / 12);
}

// Seconds in which the first partial falls by a factor of e: long in the bass, short in the treble.
function ringing(key) {
  return 1.35 * 2 ** ((60 - key) / 18);
}

function seconds(key) {
  return Math.min(5, Math.max(0.9, 3.2 * ringing(key)));
}

// A string struck at an eighth of its length. Every partial falls in two stages, as those of a real
// piano do (Weinreich 1977): quickly while the strings move together, slowly after. Upper ones fall
// faster. A short knock of the key bed begins it.
export function string(key, rate = RATE) {
  const pitch = 440 * 2 ** ((key - 69) / 12);
  const samples = new Float32Array(Math.round(seconds(key) * rate));
  const bend = stiffness(key);
  for (let n = 1; n <= 18; n += 1) {
    const frequency = n * pitch * Math.sqrt(1 + bend * n * n);
    if (frequency > 0.42 * rate) break;
    const level = (Math.abs(Math.sin((n * Math.PI) / 8)) + 0.12) / n ** 1.25;
    const fall = ringing(key) / (1 + 0.32 * (n - 1));
    partial(samples, frequency / rate, 0.8 * level, 0.4 * fall * rate);
    partial(samples, frequency / rate, 0.2 * level, 1.6 * fall * rate);
  }
  knock(samples, rate, key);
  const rise = Math.round(0.0025 * rate);
  for (let i = 0; i < rise; i += 1) samples[i] *= i / rise;
  return levelled(samples, 0.9, Math.round(0.06 * rate));
}

// A falling sine, by the recurrence y[i] = 2r·cos w·y[i-1] − r²·y[i-2].
function partial(samples, cycles, level, fall) {
  const w = 2 * Math.PI * cycles;
  const r = Math.exp(-1 / fall);
  const turn = 2 * r * Math.cos(w);
  let before = 0;
  let now = level * r * Math.sin(w);
  for (let i = 1; i < samples.length; i += 1) {
    samples[i] += now;
    const next = turn * now - r * r * before;
    before = now;
    now = next;
  }
}

function knock(samples, rate, key) {
  let seed = key * 7919 + 1;
  let soft = 0;
  for (let i = 0; i < 0.03 * rate; i += 1) {
    seed = (seed * 1103515245 + 12345) % 2147483648;
    soft += 0.16 * (seed / 1073741824 - 1 - soft);
    samples[i] += 0.5 * soft * Math.exp(-i / (0.006 * rate));
  }
}

// The loudest sample at `peak`, the end faded out.
function levelled(samples, peak, fade) {
  let most = 0;
  for (const sample of samples) most = Math.max(most, Math.abs(sample));
  for (let i = 0; i < samples.length; i += 1) {
    samples[i] *= (peak / most) * Math.min(1, (samples.length - i) / fade);
  }
  return samples;
}

const CLICKS = {
  bar: { frequency: 2093, level: 1, fall: 0.014 },
  beat: { frequency: 1397, level: 0.75, fall: 0.011 },
  between: { frequency: 1047, level: 0.25, fall: 0.008 },
};

// A tap on wood; its first sample is its loudest, so that it is where it is scheduled.
export function click(kind, rate) {
  const { frequency, level, fall } = CLICKS[kind];
  const samples = new Float32Array(Math.round(6 * fall * rate));
  for (let i = 0; i < samples.length; i += 1) {
    const time = i / rate;
    samples[i] = level * Math.cos(2 * Math.PI * frequency * time) * Math.exp(-time / fall);
  }
  return samples;
}
