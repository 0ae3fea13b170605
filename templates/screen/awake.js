// Keeps the screen awake while somebody practises, where the browser can.

let lock = null; // a promise, from when it is asked for
let wanted = false;

export async function keepAwake() {
  wanted = true;
  if (lock || document.visibilityState !== "visible" || !navigator.wakeLock) return;
  try {
    lock = navigator.wakeLock.request("screen");
    (await lock).addEventListener("release", () => {
      lock = null;
    });
  } catch {
    lock = null;
  }
}

document.addEventListener("visibilitychange", () => {
  if (wanted) keepAwake();
});
