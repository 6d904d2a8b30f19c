// @ts-check
/**
 * Reads the bars on a packet by the camera, with the browser's own reader. Where it has none, nothing is offered.
 */

/** Twice a second: the camera needs that long to find its focus anyway. */
const EVERY = 500;

export function canScan() {
  return 'BarcodeDetector' in globalThis && navigator.mediaDevices?.getUserMedia !== undefined;
}

/**
 * Looks until something is read, or until it is stopped.
 * @param {HTMLVideoElement} view
 * @param {AbortSignal} stop
 * @returns {Promise<string|null>} the number; null when stopped. Throws where the camera is not given
 */
export async function scan(view, stop) {
  const detector = new /** @type {any} */ (globalThis).BarcodeDetector();
  const stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment' } });
  try {
    view.srcObject = stream;
    await view.play();
    while (!stop.aborted) {
      const [first] = await detector.detect(view).catch(() => []);
      if (first?.rawValue) return first.rawValue;
      await new Promise((resolve) => setTimeout(resolve, EVERY));
    }
    return null;
  } finally {
    for (const track of stream.getTracks()) track.stop();
    view.srcObject = null;
  }
}
