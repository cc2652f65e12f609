// Films for the page checks, drawn and encoded in the browser itself. Each frame shows its own number as bars, so that
// what is on screen is read from the picture and not from what the page says of it.

import * as kit from './kit.mjs';

/** @typedef {import('playwright-core').Page} Page */

export const FRAMES = 40;
const BITS = 6;

/** One frame every 40 ms. */
export const EVENLY_MS = Array.from({ length: FRAMES }, (_, n) => n * 40);

/**
 * A WebM whose frames lie exactly where they are wanted: encoded by WebCodecs and put into as little of the container
 * as a film needs (Matroska, RFC 9559: EBML head, segment, tracks, a cluster at each key frame).
 * @param {Page} page @param {number[]} [instants_ms]
 */
export async function drawn(page, instants_ms = EVENLY_MS) {
  const base64 = await page.evaluate(
    async ([instants, bits]) => {
      const canvas = Object.assign(document.createElement('canvas'), { width: 320, height: 180 });
      const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
      const chunks = /** @type {{at: number, key: boolean, bytes: Uint8Array}[]} */ ([]);
      const encoder = new VideoEncoder({
        output: (chunk) => {
          const bytes = new Uint8Array(chunk.byteLength);
          chunk.copyTo(bytes);
          chunks.push({ at: Math.round(chunk.timestamp / 1000), key: chunk.type === 'key', bytes });
        },
        error: (error) => {
          throw error;
        },
      });
      encoder.configure({ codec: 'vp8', width: 320, height: 180, bitrate: 2_000_000 });
      for (const [n, at] of instants.entries()) {
        for (let bit = 0; bit < bits; bit += 1) {
          pen.fillStyle = (n >> bit) & 1 ? '#fff' : '#000';
          pen.fillRect((bit * 320) / bits, 0, 320 / bits, 180);
        }
        const picture = new VideoFrame(canvas, { timestamp: at * 1000 });
        encoder.encode(picture, { keyFrame: n % 10 === 0 });
        picture.close();
      }
      await encoder.flush();

      const number = (/** @type {number} */ value, /** @type {number} */ size) => Array.from({ length: size }, (_, i) => Math.floor(value / 256 ** (size - 1 - i)) % 256);
      const text = (/** @type {string} */ value) => Array.from(value, (c) => c.charCodeAt(0));
      /** @param {number[]} id @param {...ArrayLike<number>} inside @returns {Uint8Array} */
      const element = (id, ...inside) => {
        const length = inside.reduce((sum, part) => sum + part.length, 0);
        const all = new Uint8Array(id.length + 8 + length);
        all.set([...id, 1, ...number(length, 7)]);
        let at = id.length + 8;
        for (const part of inside) {
          all.set(part, at);
          at += part.length;
        }
        return all;
      };
      const seconds = new Uint8Array(8);
      new DataView(seconds.buffer).setFloat64(0, instants[instants.length - 1] + 40);
      const clusters = /** @type {Uint8Array[]} */ ([]);
      for (let i = 0; i < chunks.length; ) {
        const from = i;
        do i += 1;
        while (i < chunks.length && !chunks[i].key);
        const blocks = chunks.slice(from, i).map(({ at, key, bytes }) => element([0xa3], [0x81, ...number(at - chunks[from].at, 2), key ? 0x80 : 0], bytes));
        clusters.push(element([0x1f, 0x43, 0xb6, 0x75], element([0xe7], number(chunks[from].at, 4)), ...blocks));
      }
      const video = element([0xe0], element([0xb0], number(320, 2)), element([0xba], number(180, 2)));
      const track = element([0xae], element([0xd7], [1]), element([0x73, 0xc5], [1]), element([0x83], [1]), element([0x86], text('V_VP8')), video);
      const film = [
        element([0x1a, 0x45, 0xdf, 0xa3], element([0x42, 0x82], text('webm')), element([0x42, 0x87], [2]), element([0x42, 0x85], [2])),
        element(
          [0x18, 0x53, 0x80, 0x67],
          element([0x15, 0x49, 0xa9, 0x66], element([0x2a, 0xd7, 0xb1], number(1_000_000, 4)), element([0x44, 0x89], seconds)),
          element([0x16, 0x54, 0xae, 0x6b], track),
          ...clusters,
        ),
      ];
      return btoa(film.map((part) => Array.from(part, (b) => String.fromCharCode(b)).join('')).join(''));
    },
    /** @type {[number[], number]} */ ([instants_ms, BITS]),
  );
  return Buffer.from(base64, 'base64');
}

/**
 * The same pictures as a browser records them, in whichever container and codec it can write; nothing when it cannot.
 * @param {Page} page @param {string} type @param {boolean} [sound]
 */
export async function recorded(page, type, sound = false) {
  const base64 = await page.evaluate(
    async ([mimeType, withSound, frames, bits]) => {
      if (!MediaRecorder.isTypeSupported(mimeType)) return null;
      const canvas = Object.assign(document.createElement('canvas'), { width: 320, height: 180 });
      const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
      const stream = canvas.captureStream(0);
      const track = /** @type {CanvasCaptureMediaStreamTrack} */ (stream.getVideoTracks()[0]);
      if (withSound) {
        const context = new AudioContext();
        const to = context.createMediaStreamDestination();
        const tone = context.createOscillator();
        tone.connect(to);
        tone.start();
        stream.addTrack(to.stream.getAudioTracks()[0]);
      }
      const recorder = new MediaRecorder(stream, { mimeType, videoBitsPerSecond: 2_000_000 });
      const parts = /** @type {Blob[]} */ ([]);
      recorder.ondataavailable = ({ data }) => parts.push(data);
      recorder.start();
      const began = performance.now();
      for (let n = 0; n < frames; n += 1) {
        for (let bit = 0; bit < bits; bit += 1) {
          pen.fillStyle = (n >> bit) & 1 ? '#fff' : '#000';
          pen.fillRect((bit * 320) / bits, 0, 320 / bits, 180);
        }
        track.requestFrame();
        await new Promise((done) => setTimeout(done, began + (n + 1) * 40 - performance.now()));
      }
      recorder.stop();
      await new Promise((done) => {
        recorder.onstop = done;
      });
      const bytes = new Uint8Array(await new Blob(parts).arrayBuffer());
      return btoa(Array.from(bytes, (b) => String.fromCharCode(b)).join(''));
    },
    /** @type {[string, boolean, number, number]} */ ([type, sound, FRAMES, BITS]),
  );
  return base64 === null ? null : Buffer.from(base64, 'base64');
}

/** The number the frame on screen shows. @param {Page} page */
export const numberSeen = (page) =>
  page.evaluate((bits) => {
    const video = /** @type {HTMLVideoElement} */ (document.querySelector('#film video'));
    const canvas = Object.assign(document.createElement('canvas'), { width: 320, height: 180 });
    const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
    pen.drawImage(video, 0, 0, 320, 180);
    let n = 0;
    for (let bit = 0; bit < bits; bit += 1) {
      const [red] = pen.getImageData(((bit + 0.5) * 320) / bits, 90, 1, 1).data;
      if (red > 128) n += 1 << bit;
    }
    return n;
  }, BITS);

/** Seconds of film, as written. @param {Page} page */
export const filmNow = async (page) => kit.number(await page.textContent('#film-now'));

/** Waits until the film beside the recording on the Bench has been looked at. @param {Page} page */
export async function lookedAt(page) {
  await page.getByText(/frames a second of the swing, measured/).waitFor();
  await kit.settled(page);
}

/** Steps so many frames on, one by one. @param {Page} page @param {number} frames */
export async function step(page, frames) {
  for (let i = 0; i < Math.abs(frames); i += 1) {
    const before = await page.textContent('#film-now');
    await page.keyboard.press(frames > 0 ? '.' : ',');
    await page.waitForFunction((old) => document.querySelector('#film-now')?.textContent !== old, before);
  }
  await kit.settled(page);
}
