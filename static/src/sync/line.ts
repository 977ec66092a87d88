/** How much is put on the line at once. On a slow one a call that is too large ends with its time, again and again. */
const BYTES = 64_000; // the server takes 256 kB
const ROWS = 500;
const LEAST_BYTES = 1_000; // one change goes however large it is
const LEAST_ROWS = 10;

export class Line {
  /** of changes in one push */
  bytes = BYTES;
  /** in one page of a pull */
  rows = ROWS;

  /** A push that began with the server in reach, and had no answer. */
  pushFailed(): void {
    this.bytes = Math.max(LEAST_BYTES, this.bytes / 2);
  }

  pullFailed(): void {
    this.rows = Math.max(LEAST_ROWS, Math.floor(this.rows / 2));
  }

  /** Only a pass that got to its end tries more: else every other call on a slow line would be in vain. */
  passed(): void {
    this.bytes = Math.min(BYTES, this.bytes * 2);
    this.rows = Math.min(ROWS, this.rows * 2);
  }
}
