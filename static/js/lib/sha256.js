// @ts-check
import { hex } from './ids.js';

/**
 * SHA-256 (FIPS 180-4) in lower case hex.
 * @param {ArrayBuffer} bytes
 */
export async function sha256(bytes) {
  return hex(new Uint8Array(await crypto.subtle.digest('SHA-256', bytes)));
}
