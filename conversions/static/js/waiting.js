// On every other page: whatever still waits on this phone is told, and goes up from here too.
import { all } from "./parts/queue.js";
import { showDrawings } from "./parts/unsaved.js";
import { keepTrying, show } from "./parts/waiting.js";

showDrawings();

if ("indexedDB" in window) all().then(async (rows) => {
  if (rows.length === 0) return;
  await show();
  keepTrying();
}).catch(() => {}); // a browser that keeps nothing has nothing waiting
