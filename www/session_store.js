// One session in this browser's own storage. Files are written once, however often what was made of them changes.

/** @typedef {import('./session_file.js').Session} Session */

const NAME = 'footing-session';
const VERSION = 1;

/** Under which number a blob is kept. */
const numbers = /** @type {WeakMap<Blob, number>} */ (new WeakMap());
let next = 1;

/** @template T @param {IDBRequest<T>} request @returns {Promise<T>} */
const answer = (request) =>
  new Promise((done, fail) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });

/** @returns {Promise<IDBDatabase>} */
function open() {
  const request = indexedDB.open(NAME, VERSION);
  request.onupgradeneeded = () => {
    request.result.createObjectStore('files');
    request.result.createObjectStore('session');
  };
  return answer(request);
}

/** @param {IDBTransaction} transaction @returns {Promise<void>} */
const finished = (transaction) =>
  new Promise((done, fail) => {
    transaction.oncomplete = () => done();
    transaction.onabort = transaction.onerror = () => fail(transaction.error ?? new Error('the browser broke it off'));
  });

/** @param {Session} session */
export async function keep(session) {
  const db = await open();
  try {
    const transaction = db.transaction(['files', 'session'], 'readwrite');
    const files = transaction.objectStore('files');
    const there = new Set(await answer(files.getAllKeys()));
    const used = new Set();
    /** @param {Blob} blob */
    const numbered = (blob) => {
      let number = numbers.get(blob);
      if (number === undefined) {
        while (there.has(next)) next += 1;
        number = next;
        next += 1;
        numbers.set(blob, number);
      }
      if (!there.has(number)) files.put(blob, number);
      used.add(number);
      return number;
    };
    /** @template {{blob: Blob}} T @param {T} part */
    const packed = ({ blob, ...rest }) => ({ ...rest, file: numbered(blob) });
    const recordings = session.recordings.map((part) => ({ ...packed(part), film: part.film && packed(part.film) }));
    // A rig is small and may be another object each time.
    transaction.objectStore('session').put({ ...session, recordings }, 'now');
    for (const key of there) if (!used.has(key)) files.delete(key);
    await finished(transaction);
  } finally {
    db.close();
  }
}

/** @returns {Promise<Session | null>} */
export async function kept() {
  if (!(await indexedDB.databases()).some((db) => db.name === NAME)) return null;
  const db = await open();
  try {
    const transaction = db.transaction(['files', 'session']);
    const found = await answer(transaction.objectStore('session').get('now'));
    if (!found) return null;
    const files = transaction.objectStore('files');
    /** @param {any} part */
    const unpacked = async ({ file, ...rest }) => {
      const blob = await answer(files.get(file));
      numbers.set(blob, file);
      return { ...rest, blob };
    };
    const recordings = [];
    for (const part of found.recordings) recordings.push({ ...(await unpacked(part)), film: part.film && (await unpacked(part.film)) });
    return { ...found, recordings };
  } finally {
    db.close();
  }
}

/** @returns {Promise<void>} */
export async function forget() {
  await answer(indexedDB.deleteDatabase(NAME));
}
