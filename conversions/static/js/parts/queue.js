// What waits on this phone, in the order it was written: IndexedDB, so that closing the page or signing out loses nothing.
// A row: {seq, key, visit, member, url, page, kind, fields: [[name, value]...], file, name, at, trouble, isShut}.
// Writing again under a key that still waits takes its place; the answers it stood for are named as seen.

const STORE = "waiting";
let opened;

function open() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open("visits", 1);
    asked.onupgradeneeded = () => {
      const store = asked.result.createObjectStore(STORE, { keyPath: "seq", autoIncrement: true });
      store.createIndex("key", "key", { unique: true });
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
  return opened;
}

async function work(mode, act) {
  const store = (await open()).transaction(STORE, mode);
  return new Promise((resolve, reject) => {
    let result;
    act(store.objectStore(STORE), (value) => { result = value; });
    store.oncomplete = () => resolve(result);
    store.onerror = store.onabort = () => reject(store.error);
  });
}

// Keep a row; rejects with QuotaExceededError where the phone is full, and then what stood before still stands.
export function put(row) {
  return work("readwrite", (store, give) => {
    store.index("key").get(row.key).onsuccess = ({ target: { result: old } }) => {
      if (old) row.seq = old.seq;
      store.put({ at: new Date().toISOString(), trouble: "", ...row }).onsuccess = ({ target }) => give(target.result);
    };
  });
}

export function all() {
  return work("readonly", (store, give) => {
    store.getAll().onsuccess = ({ target }) => give(target.result);
  });
}

// Only while it still is the row that was sent: an answer changed meanwhile waits on.
export function take(row) {
  return work("readwrite", (store) => {
    store.get(row.seq).onsuccess = ({ target: { result: now } }) => {
      if (now && now.uid === row.uid) store.delete(row.seq);
    };
  });
}

// Why it was not taken; `isShut`: nothing was sent, its address was shut, so asking there again costs little.
// Without a reason it is tried again.
export function mark(row, trouble, isShut = false) {
  return work("readwrite", (store) => {
    store.get(row.seq).onsuccess = ({ target: { result: now } }) => {
      if (now && now.uid === row.uid) store.put({ ...now, trouble, isShut });
    };
  });
}

// Away with what was written under a key and is wanted no more, if it still waits.
export function dropKey(key) {
  return work("readwrite", (store) => {
    store.index("key").getKey(key).onsuccess = ({ target: { result: seq } }) => { if (seq) store.delete(seq); };
  });
}

// Away with what somebody looked at and does not want.
export function drop(seq) {
  return work("readwrite", (store) => store.delete(seq));
}
