// @ts-check
/**
 * UUIDv7 (RFC 9562, section 5.7): milliseconds in the first 48 bits, the rest random.
 */

/**
 * @param {number} now milliseconds since 1970 UTC
 * @param {Uint8Array} [random] 10 bytes, of which 74 bits are used
 * @returns {string} lower case
 */
export function uuid7(now, random = crypto.getRandomValues(new Uint8Array(10))) {
  const time = Math.max(0, Math.floor(now)).toString(16).padStart(12, '0').slice(-12);
  const bytes = Uint8Array.from(random);
  bytes[0] = 0x70 | (bytes[0] & 0x0f);
  bytes[2] = 0x80 | (bytes[2] & 0x3f);
  const tail = hex(bytes);
  return `${time.slice(0, 8)}-${time.slice(8)}-${tail.slice(0, 4)}-${tail.slice(4, 8)}-${tail.slice(8)}`;
}

/** @param {Uint8Array} bytes */
export function hex(bytes) {
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}
