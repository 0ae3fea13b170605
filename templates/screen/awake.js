// Keeps the screen awake while somebody practises, where the browser can.

let lock = null;
let wanted = false;

export async function keepAwake() {
  wanted = true;
  if (lock || document.visibilityState !== "visible" || !navigator.wakeLock) return;
  try {
    lock = await navigator.wakeLock.request("screen");
    lock.addEventListener("release", () => {
      lock = null;
    });
  } catch {
    lock = null;
  }
}

document.addEventListener("visibilitychange", () => {
  if (wanted) keepAwake();
});
