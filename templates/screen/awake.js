// Keeps the screen awake while somebody practises, where the browser can.

let lock = null; // a promise, from when it is asked for
let wanted = false;

export async function keepAwake() {
  wanted = true;
  if (lock || document.visibilityState !== "visible" || !navigator.wakeLock) return;
  const asked = navigator.wakeLock.request("screen");
  lock = asked;
  const gone = () => {
    if (lock === asked) lock = null;
  };
  try {
    (await asked).addEventListener("release", gone);
  } catch {
    gone();
  }
}

// Nobody practises: the screen may go dark as ever.
export async function letSleep() {
  wanted = false;
  const held = await lock?.catch(() => null);
  if (wanted || !held) return;
  lock = null;
  await held.release();
}

document.addEventListener("visibilitychange", () => {
  if (wanted) keepAwake();
});
