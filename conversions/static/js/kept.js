// A page that is wanted again without signal says so with [data-offline].
import { keepPage } from "./parts/offline.js";

for (const { dataset } of document.querySelectorAll("[data-offline]")) keepPage(dataset.offline).catch(() => {});
