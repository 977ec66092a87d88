/** UUID version 7 (RFC 9562): 48 bits of milliseconds, then chance, so that ids made later sort later. */
export function uuid7(now: Date, chance: Uint8Array): string {
  const bytes = chance.slice(0, 16);
  // A clock set before 1970 must not borrow from the version bits.
  let ms = Math.max(0, now.getTime());
  for (let at = 5; at >= 0; at--) {
    bytes[at] = ms % 256;
    ms = Math.floor(ms / 256);
  }
  bytes[6] = ((bytes[6] ?? 0) & 0x0f) | 0x70;
  bytes[8] = ((bytes[8] ?? 0) & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}

export function newId(now = new Date()): string {
  return uuid7(now, crypto.getRandomValues(new Uint8Array(16)));
}
